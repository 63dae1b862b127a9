# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""What one run of a command costs."""

import subprocess
import sys

# Run by a Python of its own, since what this one holds would count as the peak of those it starts.
LAUNCHER = """
import os, sys
quiet = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0), (os.POSIX_SPAWN_DUP2, 1, 2)]
_, status, used = os.wait4(os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=quiet), 0)
print(used.ru_utime + used.ru_stime, used.ru_maxrss, os.waitstatus_to_exitcode(status))
"""


def cost(command):
    """Processor seconds, MiB and exit status of one run."""
    told = subprocess.run([sys.executable, "-I", "-S", "-c", LAUNCHER, *command], stdout=subprocess.PIPE, check=True).stdout
    seconds, kibibytes, status = told.split()
    return float(seconds), int(kibibytes) / 1024, int(status)
