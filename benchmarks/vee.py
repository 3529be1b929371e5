"""Random vee jobs through the whole of the tool: what is feasible must be accepted, what is impossible refused.

python benchmarks/vee.py [--seed N] [--count N] [--solids N]
Three or four in a bank, one plenum over the valley. Kept and summed up as benchmarks/jobs.py does; the last line is one
JSON object.
"""

from jobs import bench, grown_round
from random_jobs import RandomJob, free_two_heads, impossible_two_heads, two_heads


def feasible(seed: int) -> RandomJob:
    """A job whose room is grown round a known manifold."""
    return grown_round(seed, two_heads(seed))


if __name__ == "__main__":
    bench("vee", {"feasible": feasible, "impossible": impossible_two_heads, "free": free_two_heads})
