"""In which order lengths of reeds are painted: what lies behind first. Compiled loops."""

from __future__ import annotations

import heapq

import numpy as np

from ...rods.compiled import compiled


@compiled()
def runs_from_behind(tube, tone, depth, use, fronts, first_front, waits):
    """Runs of neighbouring lengths, (k, 2) first and last, in an order of painting: each comes after all that lies
    behind it. Of those that may come, the farthest begins, and its run goes on along the reed while its neighbours may
    come too.

    `tube`, `tone`, `depth`, `use` (n,) of every length. Over length i lie `fronts[first_front[i]:first_front[i + 1]]`;
    `waits` (n,) is how many lie behind each, and is used up.
    """
    many = tube.size
    left = np.zeros(many, np.bool_)
    ready = [(0.0, 0)]
    ready.pop()
    still = 0
    for i in range(many):
        if use[i] and tube[i] >= 0:
            left[i] = True
            still += 1
            if waits[i] == 0:
                ready.append((-depth[i], i))
    heapq.heapify(ready)
    out = np.empty((still, 2), np.int64)
    found = 0
    while still:
        while len(ready) and not left[ready[0][1]]:
            heapq.heappop(ready)
        if len(ready):
            i = heapq.heappop(ready)[1]
        else:  # three reeds can lie over each other in a ring; then the one that waits least, the farthest of them
            i = -1
            for j in range(many):
                if left[j] and (i < 0 or waits[j] < waits[i] or (waits[j] == waits[i] and depth[j] > depth[i])):
                    i = j
        low = high = i
        for turn in range(3):  # itself, then on along the reed, then back
            step = 1 if turn == 1 else -1
            j = i if turn == 0 else i + step
            while 0 <= j < many and left[j]:
                if turn > 0 and not (waits[j] == 0 and tone[j] == tone[i] and tube[j] == tube[i]):
                    break
                left[j] = False
                still -= 1
                for k in range(first_front[j], first_front[j + 1]):
                    front = fronts[k]
                    waits[front] -= 1
                    if waits[front] == 0:
                        heapq.heappush(ready, (-depth[front], front))
                low, high = min(low, j), max(high, j)
                if turn == 0:
                    break
                j += step
        out[found, 0], out[found, 1] = low, high
        found += 1
    return out[:found]


@compiled()
def dots_of(seg, number, many):
    """(many,): at how many dots each length is seen; `seg` (h, w) the points whose cylinders are, -1 for none, `number`
    (points,) the lengths they are of."""
    out = np.zeros(many, np.int64)
    for at in seg.flat:
        if at >= 0:
            out[number[at]] += 1
    return out


@compiled()
def meetings(front, back, number, many):
    """Which lengths lie behind each other, dot after dot: pairs, each as the number of the one in front times `many`
    and that of the other, and at how many dots on end each is so. Neighbours along a reed are none. `front` and `back`
    (h, w) are points as in `dots_of`."""
    pairs, dots = np.empty(front.size, np.int64), np.zeros(front.size, np.int64)
    last = -1
    for row in range(front.shape[0]):
        for col in range(front.shape[1]):
            one, other = front[row, col], back[row, col]
            if one < 0 or other < 0:
                continue
            a, b = np.int64(number[one]), np.int64(number[other])
            if abs(a - b) <= 1:
                continue
            pair = a * many + b
            if last < 0 or pairs[last] != pair:
                last += 1
                pairs[last] = pair
            dots[last] += 1
    return pairs[: last + 1], dots[: last + 1]


@compiled()
def evened(values, times):
    """Every one of these (k,) with half of both its neighbours, so many times over."""
    out, before = values.copy(), np.empty_like(values)
    for _ in range(times):
        for i in range(out.size):
            before[i] = out[i]
        for i in range(out.size):
            low = before[i - 1] if i > 0 else 0.0
            high = before[i + 1] if i + 1 < out.size else 0.0
            out[i] = before[i] + 0.5 * (low + high)
    return out
