#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Some random gardens of each of the yard's patterns keep what every plan must keep; random_yard.py plans more."""
import unittest

from program import PROGRAM
from random_yard import plan_some


class RandomYard(unittest.TestCase):
    def test_twenty_gardens(self):
        self.assertEqual(0, plan_some(PROGRAM, 20))


if __name__ == "__main__":
    unittest.main()
