"""CPU time of one call, for benchmarks."""

import time


def seconds(call, *arguments):
    """Return the CPU seconds that a call took, and what it returned."""
    began = time.process_time()
    result = call(*arguments)
    return time.process_time() - began, result
