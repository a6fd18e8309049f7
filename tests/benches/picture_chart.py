"""The peer of `tests/benches/pictures.rs`: 12 megapixels to a chart of 200 x 240 in 8 colours, in Python.

The same steps after decoding: light averaged over each stitch, k-means in Oklab (k-means++, best of 4),
nearest colours, the tidying of the Potts model (iterated conditional modes, which is less work than ours
does), mean and 95th percentile of CIEDE2000. Needs numpy, scikit-image and scikit-learn; without them it
says so and ends well.

    python3 tests/benches/picture_chart.py
"""

import sys
import time

try:
    import numpy as np
    from skimage.color import deltaE_ciede2000, xyz2lab
    from skimage.transform import resize_local_mean
    from sklearn.cluster import KMeans
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(0)

WIDTH, HEIGHT, COLUMNS, ROWS, COLOURS = 4000, 3000, 200, 240, 8
SRGB_TO_XYZ = np.array(
    [[0.4123908, 0.3575843, 0.1804808], [0.2126390, 0.7151687, 0.0721923], [0.0193308, 0.1191948, 0.9505322]]
)
XYZ_TO_CONES = np.array(
    [[0.8190224, 0.3619063, -0.1288738], [0.0329837, 0.9292869, 0.0361447], [0.0481772, 0.2642395, 0.6335478]]
)
ROOTS_TO_OKLAB = np.array(
    [[0.2104543, 0.7936178, -0.0040720], [1.9779985, -2.4285922, 0.4505937], [0.0259040, 0.7827718, -0.8086758]]
)


def picture():
    """Blots of colour with grain."""
    state = 9
    def number():
        nonlocal state
        state = (state * 6364136223846793005 + 1442695040888963407) % (1 << 64)
        return (state >> 11) / (1 << 53)
    blots = np.array([[number() for _ in range(6)] for _ in range(24)])
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH].astype(np.float32)
    best = np.full((HEIGHT, WIDTH), np.inf, np.float32)
    which = np.zeros((HEIGHT, WIDTH), np.uint8)
    for index, blot in enumerate(blots):
        far = ((blot[0] - x / WIDTH) ** 2 + (blot[1] - y / HEIGHT) ** 2) * (0.5 + blot[5])
        nearer = far < best
        best[nearer], which[nearer] = far[nearer], index
    grain = ((x.astype(np.int64) * 7919 + y.astype(np.int64) * 104729) % 31) / 31 - 0.5
    codes = blots[which][:, :, 2:5] * 215 + 20 + grain[:, :, None] * 30
    return codes.astype(np.uint8)


def averages(codes):
    codes_to_light = np.arange(256) / 255
    codes_to_light = np.where(
        codes_to_light <= 0.04045, codes_to_light / 12.92, ((codes_to_light + 0.055) / 1.055) ** 2.4
    ).astype(np.float32)
    light = codes_to_light[codes]
    return resize_local_mean(light, (ROWS, COLUMNS), preserve_range=True, channel_axis=-1) @ SRGB_TO_XYZ.T


def tidied(cells, centres, rounds=6):
    cost = ((cells[:, :, None] - centres) ** 2).sum(-1)
    labels = cost.argmin(-1)
    price = 0.04 * 0.25**2
    for _ in range(rounds):
        like = np.zeros_like(cost)
        one = np.eye(len(centres))[labels]
        like[1:] += one[:-1]
        like[:-1] += one[1:]
        like[:, 1:] += one[:, :-1]
        like[:, :-1] += one[:, 1:]
        new = (cost - price * like).argmin(-1)
        if (new == labels).all():
            break
        labels = new
    return labels


def chart(codes):
    start = time.perf_counter()
    xyz = averages(codes)
    averaged = time.perf_counter()
    cells = np.cbrt(xyz @ XYZ_TO_CONES.T) @ ROOTS_TO_OKLAB.T
    found = KMeans(COLOURS, init="k-means++", n_init=4, max_iter=100, random_state=0).fit(cells.reshape(-1, 3))
    labels = tidied(cells, found.cluster_centers_)
    shown = found.cluster_centers_[labels]
    cones = (shown @ np.linalg.inv(ROOTS_TO_OKLAB).T) ** 3
    off = deltaE_ciede2000(xyz2lab(xyz), xyz2lab(cones @ np.linalg.inv(XYZ_TO_CONES).T))
    done = time.perf_counter()
    return averaged - start, done - averaged, done - start, off.mean(), np.percentile(off, 95)


if __name__ == "__main__":
    codes = picture()
    runs = [chart(codes) for _ in range(5)]
    part, rest, whole, mean, p95 = min(runs, key=lambda run: run[2])
    print(f"best of 5: averages {part * 1e3:.0f} ms, colours and stitches {rest * 1e3:.0f} ms, whole {whole * 1e3:.0f} ms")
    print(f"CIEDE2000 mean {mean:.2f}, 95th percentile {p95:.2f}")
