#!/bin/sh
# Install the service into a new folder with nothing that it does not run: sh docker/install.sh FOLDER [TOOLS]
# From the project's root. The image is built with it; `make sbom` calls it for the list of parts and their licences.
set -eu
folder=$1
tools=${2:-/opt/tools}
quiet="--quiet --no-cache-dir --disable-pip-version-check"

# hatchling, and what lists parts and licences: not in the image
python3 -m venv "$tools"
"$tools/bin/python" -m pip install $quiet --require-hashes -r docker/requirements-build.txt

# no pip in the environment itself
python3 -m venv --without-pip "$folder"
"$tools/bin/python" -m pip --python "$folder/bin/python" install $quiet --require-hashes --only-binary :all: --no-compile \
    -r docker/requirements.txt
"$tools/bin/python" -m pip wheel $quiet --no-deps --no-build-isolation --wheel-dir "$tools/wheels" .
"$tools/bin/python" -m pip --python "$folder/bin/python" install $quiet --no-deps --no-compile --no-index "$tools"/wheels/kettlewright-*.whl

mkdir -p "$folder/parts"
# before anything is taken away; what is in it is the same for the same pins
"$tools/bin/python" -m cyclonedx_py environment --output-reproducible --of JSON -o "$folder/parts/sbom.cdx.json" "$folder/bin/python"
"$tools/bin/pip-licenses" --python "$folder/bin/python" --from mixed --order name --with-urls --format plain-vertical \
    --with-license-file --no-license-path --with-notice-file > "$folder/parts/LICENCES.txt"
"$tools/bin/pip-licenses" --python "$folder/bin/python" --from mixed --order name --format csv > "$folder/parts/licences.csv"

python3 docker/trim.py "$folder"
"$folder/bin/python" docker/check.py
"$folder/bin/python" -m compileall -q -j 0 "$folder"/lib
