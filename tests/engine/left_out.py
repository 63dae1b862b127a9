# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

"""Stands in the list of tests for one that has no meaning in WebAssembly: says why, and is counted as skipped."""

import sys

print(sys.argv[1])
sys.exit(77)
