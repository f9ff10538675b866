"""Fits give the same digits on a processor without the newer vector instructions."""

import json
import os
import subprocess
import sys

import pytest
from kettlewright.api.document.openapi import examples_of

# OpenBLAS, NumPy and the C library each choose their code by the processor; these make all three choose older code
OLDER = {"OPENBLAS_CORETYPE": "Nehalem", "NPY_DISABLE_CPU_FEATURES": "X86_V3 X86_V4",
         "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX512F,-AVX2,-AVX,-FMA"}
ASK = """
import json, sys
from kettlewright.app import create_app
client = create_app().test_client()
print(json.dumps([client.post(path, json=body).get_data(as_text=True) for path, body in json.load(sys.stdin)]))
"""
FITS = {"cure": "/v1/cure", "fades": "/v1/fades", "actuals": "/v1/batches/actuals"}


@pytest.fixture(scope="module")
def asked():
    return [(path, example["body"]) for name, path in FITS.items() for example in examples_of(name)]


def test_fits_give_the_same_digits_on_an_older_processor(client, asked):
    older = subprocess.run([sys.executable, "-W", "ignore", "-c", ASK], input=json.dumps(asked), text=True, check=True,
                           capture_output=True, env=os.environ | OLDER).stdout
    here = [client.post(path, json=body) for path, body in asked]
    assert {reply.status_code for reply in here} == {200}
    assert json.loads(older) == [reply.get_data(as_text=True) for reply in here]
