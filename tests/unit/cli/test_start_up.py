"""A job that asks nothing of the solid kernel must not pay for loading it: it takes longer than the rest of the start."""

import subprocess
import sys


def test_the_pipeline_starts_without_the_solid_kernel():
    loaded = "import sys, tractwright.pipeline; print('OCP' in sys.modules)"
    asked = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True)
    assert asked.stdout.strip() == "False"
