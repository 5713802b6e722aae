"""Writes the job as the list of numbers that freefem.edp reads."""
import numpy as np

import case as common


def numbers(case, fine, coarse, board_slabs):
    board, body, joint = case["board"]["layers"], case["body"], case["body"]["standoff"]
    x, y = common.lines(case, 0, fine, coarse), common.lines(case, 1, fine, coarse)
    thick = sum(layer[0] for layer in board)
    z_board = np.linspace(0, thick, board_slabs + 1)
    low, high = body["layers"]
    z_joint = thick + np.array([0, joint])
    z_body = z_joint[1] + np.array([0, low[0], low[0] + high[0] / 2, low[0] + high[0]])
    ends = [np.searchsorted(e, (c - s / 2 - 1e-9, c + s / 2 - 1e-9)) for e, c, s in zip((x, y), body["center"], body["size"])]
    yield from (len(x), len(y), len(z_board), len(z_body), *ends[0], *ends[1], len(body["joints"]))
    yield from (case["step"], case["start"], case["gas_on"], case["end"], case["room"]["air"], case["room"]["h"],
                case["preheat"]["h"], case["nozzle"]["h"], *body["center"], *case["nozzle"]["size"], *body["size"])
    for line in (x, y, z_board, z_joint, z_body):
        yield from line
    for layer in (board[0], [0, 0, body["joint_h"] * joint, 0], low, high):
        yield from layer[1:]
    yield from (*case["gas_c"], *case["preheat_c"])
    yield from np.ravel(body["joints"])
    yield z_joint[1] + low[0]


def write(path, case, fine, coarse, board_slabs):
    with open(path, "w", encoding="ascii") as out:
        out.writelines(f"{value:.12g}\n" for value in numbers(case, fine, coarse, board_slabs))
