"""Reads a series with pydicom and NumPy, as loader-process.mjs does: a folder on stdin, one line of JSON back."""
import json
import os
import resource
import sys
import time

import numpy as np
import pydicom


def load(folder):
    slices = [pydicom.dcmread(os.path.join(folder, name)) for name in sorted(os.listdir(folder))]
    row, column = np.reshape(np.array(slices[0].ImageOrientationPatient, float), (2, 3))
    normal = np.cross(row, column)
    slices.sort(key=lambda s: np.dot(np.array(s.ImagePositionPatient, float), normal))
    volume = np.empty((len(slices), slices[0].Rows, slices[0].Columns), np.int16)
    for k, s in enumerate(slices):
        slope, intercept = float(s.RescaleSlope), float(s.RescaleIntercept)
        if slope == 1 and intercept == int(intercept):
            np.add(s.pixel_array, int(intercept), out=volume[k], casting="unsafe")
        else:
            volume[k] = np.rint(s.pixel_array * slope + intercept)
    return volume


def peak_mb():
    try:
        with open("/proc/self/status") as status:
            kb = next(int(line.split()[1]) for line in status if line.startswith("VmHWM"))
    except OSError:
        kb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return 1.024 * kb / 1000


for line in sys.stdin:
    start = time.perf_counter()
    voxels = load(line.rstrip("\n"))
    ms = 1000 * (time.perf_counter() - start)
    peak = peak_mb()
    checksum = f"{voxels.size}:{int(voxels.sum(dtype=np.int64))}"
    print(json.dumps({"ms": ms, "peakMb": peak, "checksum": checksum}), flush=True)
    del voxels
