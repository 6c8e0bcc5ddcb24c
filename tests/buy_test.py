#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""`garthwright buy` against a second answer: every plan is checked in plain arithmetic, and small lists against the best
of all possible plans, found here by trying them all (dynamic programming over the pieces still wanted)."""
import csv
import functools
import io
import itertools
import json
import random
import sys
import unittest

from program import ProgramTest, run


def best_cost(listing):
    """Least cost by exhaustion, or None when the pieces cannot all be had."""
    lengths = [piece["length_mm"] for piece in listing["pieces"]]
    kerf, trim = listing["kerf_mm"], listing["trim_mm"]
    limits = tuple(stock.get("limit", 99) for stock in listing["stock"])

    def fits(stock, counts):
        room = stock["length_mm"] - (0 if stock.get("off_cut") else trim)
        return sum(n * length for n, length in zip(counts, lengths)) + kerf * (sum(counts) - 1) <= room

    @functools.lru_cache(maxsize=None)
    def cost(wanted, left):
        if not any(wanted):
            return 0
        first = next(i for i, n in enumerate(wanted) if n)
        best = None
        for index, stock in enumerate(listing["stock"]):
            if left[index] == 0:
                continue
            for counts in itertools.product(*(range(n + 1) for n in wanted)):
                if counts[first] == 0 or not fits(stock, counts):
                    continue
                rest = cost(tuple(n - c for n, c in zip(wanted, counts)),
                            left[:index] + (left[index] - 1,) + left[index + 1:])
                if rest is not None and (best is None or rest + stock["price_minor"] < best):
                    best = rest + stock["price_minor"]
        return best

    return cost(tuple(piece["quantity"] for piece in listing["pieces"]), limits)


def random_list(rng):
    stock = [{"length_mm": rng.choice([1800, 2400, 3000, 3600, 4200, 4800]), "price_minor": rng.randint(300, 1500)}
             for _ in range(rng.randint(1, 3))]
    for one in stock:
        if rng.random() < 0.3:
            one["limit"] = rng.randint(0, 3)
        if rng.random() < 0.2:
            one.update(off_cut=True, price_minor=0, limit=rng.randint(1, 2))
    lengths = rng.sample(range(400, 2600), rng.randint(1, 3))
    return {"stock": stock, "kerf_mm": rng.choice([0, 3, 3.2]), "trim_mm": rng.choice([0, 10]),
            "pieces": [{"length_mm": length, "quantity": rng.randint(1, 3)} for length in lengths]}


class Buy(ProgramTest):
    def buy(self, listing, *words, status=0):
        return self.assert_status(run("buy", "-", *words, text=json.dumps(listing)), status)

    def check(self, listing, answer):
        """The plan in plain arithmetic."""
        wanted = {}
        for piece in listing["pieces"]:
            wanted[piece["length_mm"]] = wanted.get(piece["length_mm"], 0) + piece["quantity"]
        cheapest = 0
        for layout in answer["layouts"]:
            need = sum(layout["pieces"]) + listing["kerf_mm"] * (len(layout["pieces"]) - 1)
            prices = [stock["price_minor"] for stock in listing["stock"] if stock["length_mm"] == layout["stock_mm"]
                      and need <= stock["length_mm"] - (0 if stock.get("off_cut") else listing["trim_mm"]) + 1e-6]
            self.assertTrue(prices, f"{layout} fits no stock")
            cheapest += layout["count"] * min(prices)
            for length in layout["pieces"]:
                wanted[length] -= layout["count"]
        self.assertEqual({0}, set(wanted.values()))
        self.assertLessEqual(answer["lower_bound_minor"], answer["cost_minor"])
        self.assertEqual(answer["optimal"], answer["lower_bound_minor"] == answer["cost_minor"])
        return cheapest

    def test_small_lists_are_bought_at_the_least_cost_there_is(self):
        rng = random.Random(20260314)
        solved = impossible = 0
        for _ in range(60):
            listing = random_list(rng)
            best = best_cost(listing)
            if best is None:
                self.buy(listing, status=2)
                impossible += 1
                continue
            answer = json.loads(self.buy(listing).stdout)
            self.assertEqual(best, answer["cost_minor"], listing)
            self.assertTrue(answer["optimal"])
            self.assertLessEqual(self.check(listing, answer), answer["cost_minor"])
            solved += 1
        self.assertGreater(solved, 30)
        self.assertGreater(impossible, 2)

    def test_the_contract_keys_in_their_order(self):
        listing = {"stock": [{"length_mm": 4800, "price_minor": 1290}], "kerf_mm": 3, "trim_mm": 10,
                   "pieces": [{"length_mm": 1150, "quantity": 7, "mark": "A1"}]}
        answer = json.loads(self.buy(listing).stdout)
        self.assertEqual(["cost_minor", "lower_bound_minor", "optimal", "layouts", "seconds", "nodes"], list(answer))
        self.assertEqual(2580, answer["cost_minor"])  # four of 1150 and three kerfs are 4609 of the 4790 there are

    def test_csv_in_and_out(self):
        text = "kind,length_mm,price_minor,quantity,mark\nkerf,3\ntrim,10\nstock,4800,1290\npiece,1150,,7,A1\n"
        out = self.assert_status(run("buy", "-", "--csv", text=text), 0).stdout
        rows = list(csv.DictReader(io.StringIO(out)))
        self.assertEqual(2, sum(int(row["count"]) for row in rows))
        self.assertEqual(7, sum(int(row["count"]) * len(row["pieces_mm"].split()) for row in rows))

    def test_bundles_are_bought_where_they_cost_less(self):
        # Twelve lengths: ten in a bundle and two singly are 25.00; all singly 30.00, two bundles 40.00.
        stock = {"length_mm": 2400, "price_minor": 250, "bundles": [{"count": 10, "price_minor": 2000}]}
        listing = {"stock": [stock], "pieces": [{"length_mm": 2300, "quantity": 12}]}
        answer = json.loads(self.buy(listing).stdout)
        self.assertEqual(["cost_minor", "lower_bound_minor", "optimal", "layouts", "seconds", "nodes", "bought",
                          "left_whole"], list(answer))
        self.assertEqual((2500, 2500, True), (answer["cost_minor"], answer["lower_bound_minor"], answer["optimal"]))
        self.assertEqual([{"stock_mm": 2400, "bundle": 10, "count": 1, "price_minor": 2000},
                          {"stock_mm": 2400, "count": 2, "price_minor": 250}], answer["bought"])
        self.assertEqual([], answer["left_whole"])
        del stock["price_minor"]
        answer = json.loads(self.buy(listing).stdout)
        self.assertEqual(4000, answer["cost_minor"])
        self.assertEqual([{"stock_mm": 2400, "count": 8}], answer["left_whole"])
        self.assertIn("cannot say which bundles", self.buy(listing, "--csv", status=2).stderr)
        stock["bundles"][0]["count"] = 0
        self.assertIn("stock[0].bundles[0].count is 0; give a whole number from 2 to 100000",
                      self.buy(listing, status=2).stderr)

    def test_progress_is_said_while_the_answer_stays_clean(self):
        listing = {"stock": [{"length_mm": 2400, "price_minor": 811}, {"length_mm": 3000, "price_minor": 983},
                             {"length_mm": 3600, "price_minor": 1219}], "kerf_mm": 3, "trim_mm": 10,
                   "pieces": [{"length_mm": 700 + 137 * k, "quantity": 3 + k % 4} for k in range(9)]}
        done = run("buy", "-", "--progress", text=json.dumps(listing))
        answer = json.loads(done.stdout)
        last = done.stderr.strip().splitlines()[-1]
        self.assertRegex(last, r"^after \d+\.\d{3} s: found \d+, none under \d+, gap \d+\.\d\d %$")
        self.assertIn(f"found {answer['cost_minor']}, none under {answer['lower_bound_minor']}, gap 0.00 %", last)

    def test_a_million_pieces_get_an_answer(self):
        listing = {"stock": [{"length_mm": 4800, "price_minor": 1290}], "kerf_mm": 3, "trim_mm": 10,
                   "pieces": [{"length_mm": 1150, "quantity": 1_000_000}]}
        answer = json.loads(self.buy(listing, "--limit-s", "20").stdout)
        self.assertEqual(250_000 * 1290, answer["cost_minor"])
        self.assertTrue(answer["optimal"])

    def test_a_piece_longer_than_any_length_is_named(self):
        listing = {"stock": [{"length_mm": 4800, "price_minor": 1290}], "kerf_mm": 3, "trim_mm": 10,
                   "pieces": [{"length_mm": 4795, "quantity": 1}]}
        self.assertIn("4795", self.buy(listing, status=2).stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
