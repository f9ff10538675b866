#!/bin/sh
# A base for the image where no registry can be reached: Debian's own Python in a minimal Debian 13. sh base.sh NAME FOLDER
# It is not the official Python image, and is never published. Needs root, debootstrap and podman.
set -eu
name=$1
folder=$2
mirror=$(sed -n 's/^URIs: *//p; s/^deb *\(\[[^]]*\] *\)\{0,1\}\(http[^ ]*\/debian\) .*/\2/p' /etc/apt/sources.list /etc/apt/sources.list.d/* 2>/dev/null | head -n 1)
if [ ! -e "$folder/.ready" ]; then
    debootstrap --variant=minbase --include=ca-certificates,python3,python3-venv,python3-pip trixie "$folder" "$mirror" > "$folder.log"
    rm -f "$folder"/usr/lib/python3*/EXTERNALLY-MANAGED "$folder"/var/cache/apt/archives/*.deb
    rm -rf "$folder"/var/lib/apt/lists/*
    ln -sf /usr/bin/python3 "$folder/usr/local/bin/python3"
    ln -sf /usr/bin/python3 "$folder/usr/local/bin/python"
    touch "$folder/.ready"
fi
tar -C "$folder" -c . | podman import --quiet - "$name"
