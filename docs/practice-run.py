"""A run to practise with: two thermocouples of the demo job as the prediction has them, 20 s late, some degrees off."""
import csv
import sys

with open(sys.argv[1], encoding="utf-8") as file:
    rows = list(csv.DictReader(file))
print("Time [s],corner ball [C],cell [C]")
for second in range(0, 370, 2):
    t = max(second - 20.0, 0)
    row = min(rows, key=lambda r: abs(float(r["time_s"]) - t))
    joints = (float(row["U1 joint_min_c"]) + float(row["U1 joint_max_c"])) / 2
    wobble = 0.4 * ((second * 7919) % 11 - 5) / 5
    print(f"{second},{22 + (joints - 23) * 0.97 + wobble:.1f},{22 + (float(row['BT1 body_c']) - 23) * 1.03 - wobble:.1f}")
