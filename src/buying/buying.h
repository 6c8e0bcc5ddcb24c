// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/money.h"
#include "structure/saw.h"
#include "structure/structure.h"
#include "timber/yard.h"

namespace garthwright::buying {

/// So many lengths of one section to buy.
struct TimberLine {
  std::string section;
  double length_mm = 0;
  int quantity = 0;
  Money unit_price;
};

/// So many packs, bags or pieces to buy; `needed` is how many single things the structures take.
struct ItemLine {
  std::string name;
  int quantity = 0;
  Money unit_price;
  double needed = 0;
  std::string unit;  ///< "pack of 100", "20 kg bag", "each"
};

/// A piece in a cutting layout: where its datum end lies along the length.
struct CutPiece {
  std::string mark;
  double at_mm = 0;
  double length_mm = 0;
  double across_mm = 0;  ///< place across the width, 0 unless ripped
};

/// One way of cutting a length, `count` times over.
struct Layout {
  std::string section;
  double length_mm = 0;
  int count = 0;
  std::vector<CutPiece> pieces;
  double offcut_mm = 0;  ///< usable rest at the end
};

/// What is known of the timber cost: never more than was proven.
struct Proof {
  Money cost, lower_bound;
  bool optimal = false;
};

struct Report {
  Currency currency;
  std::string price_note;  ///< the yard's word on its prices, and their date
  std::vector<TimberLine> timber;
  std::vector<ItemLine> fixings, panels, ground, extras;
  std::vector<Layout> cutting;
  Proof proof;
  Money total;
  Diagnostics diagnostics;  ///< "unbuyable" names the piece, the longest length sold and what would do
};

/// The least-cost purchase for all structures of a job from one yard.
Report buy(const std::vector<Structure>& structures, const timber::Yard& yard, const Saw& saw);

}  // namespace garthwright::buying
