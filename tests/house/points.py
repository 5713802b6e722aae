"""How the checks of the house tell a point as TAP."""


def report(number, faults, what):
    """Point NUMBER with the faults before it; whether there is any."""
    for line in faults:
        print("#", line)
    print(f"{'not ok' if faults else 'ok'} {number} {what}")
    return bool(faults)
