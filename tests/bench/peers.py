"""Times the peers of the kernels on the same fields: a JSON line each.

usage: peers.py COVER.f32 WIDTH  (share of each 5 um pixel under resin, from `platewright window`)
"""

import json
import sys
import time

import cv2
import edt
import numpy as np
from scipy import ndimage

PX_UM = 5.0
ROUNDS = 5


def best_ns(run, units):
    run()
    best = np.inf
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - start)
    return best * 1e9 / units


def one_value(distance_um, dose_um=14.3):
    """Depth to reflectance of one value, the same equations in NumPy and SciPy."""
    depth = np.sqrt(np.maximum(dose_um**2 - np.maximum(distance_um, 0.0) ** 2, 0.0)).astype(np.float32)
    # Cloth: overlap of levels with the copper, averaged over its contact width.
    side = 13
    rows = depth.shape[0] // side * side
    blocks = depth[:rows, :rows].reshape(rows // side, side, rows // side, side)
    levels = np.concatenate([np.arange(0.8, 2.4, 0.1), 2.4 * 1.06 ** np.arange(1, 30)]).astype(np.float32)
    overlap = np.stack([np.maximum(level - blocks, 0.0).mean(axis=(1, 3)) for level in levels])
    overlap = np.stack([ndimage.gaussian_filter(one, 200.0 / (PX_UM * side), mode="reflect") for one in overlap])
    above = np.argmax(overlap >= 0.8, axis=0)
    cloth = levels[above] - 0.8
    cloth = ndimage.zoom(cloth, side, order=1, mode="nearest", grid_mode=True)
    cloth = np.pad(cloth, ((0, depth.shape[0] - rows), (0, depth.shape[1] - rows)), mode="edge")
    film = 0.05 + 0.20 * (1.0 - np.exp(-depth / 2.0))
    held = np.maximum(depth - cloth, film)
    free = 2.0 * (1.0 - np.exp(-held / 2.0))
    taken = (1.0 - np.exp(-10.0 * held)) * (free + 0.5 * (held - free))
    printed = ndimage.gaussian_filter(taken, 6.0 / PX_UM, mode="reflect", truncate=3.0)
    light = np.exp(-0.425 * printed)
    return 0.0224 + (0.85 - 0.0224) * light * ndimage.gaussian_filter(light, 50.0 / PX_UM, mode="reflect")


def main():
    width = int(sys.argv[2])
    cover = np.fromfile(sys.argv[1], dtype="<f4").reshape(-1, width)
    mask = np.ascontiguousarray(cover > 0.5).astype(np.uint8)
    distance = (ndimage.distance_transform_edt(mask) * PX_UM).astype(np.float32)
    units = mask.size
    cv2.setNumThreads(1)
    peers = [
        ("bounded distance transform, 16 px", "OpenCV", lambda: cv2.distanceTransform(mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)),
        ("bounded distance transform, 16 px", "edt", lambda: edt.edt(mask, parallel=1)),
        ("bounded distance transform, 16 px", "SciPy", lambda: ndimage.distance_transform_edt(mask)),
        ("one value, depth to reflectance", "NumPy and SciPy", lambda: one_value(distance)),
    ]
    for name, peer, run in peers:
        print(json.dumps({"name": name, "peer": peer, "ns": best_ns(run, units)}), flush=True)


main()
