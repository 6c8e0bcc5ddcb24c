// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/money.h"
#include "cutting/cutting.h"
#include "structure/garden.h"
#include "structure/saw.h"
#include "timber/yard.h"

namespace garthwright::buying {

/// So many lengths of one section to buy, or so many bundles of them.
struct TimberLine {
  std::string section;
  double length_mm = 0;
  int quantity = 0;       ///< of lengths, or of bundles
  Money unit_price;       ///< of a length, or of a bundle
  timber::Offer offer{};  ///< whose it is; tax on it stands in the extras
  bool straight = false;  ///< picked for straightness by the yard
  int bundle = 1;         ///< lengths in each; 1: sold singly

  int lengths() const { return quantity * bundle; }
};

/// An off-cut of a section, kept from an earlier job: free, and its ends are square.
struct OffCut {
  std::string section;
  double length_mm = 0;
  int quantity = 0;

  bool operator==(const OffCut&) const = default;
};

/// Fixings kept from an earlier job, by the yard's name for them.
struct SpareFixing {
  std::string item;
  int quantity = 0;

  bool operator==(const SpareFixing&) const = default;
};

/// What lies in a shed.
struct OnHand {
  std::vector<OffCut> off_cuts;
  std::vector<SpareFixing> fixings;

  bool empty() const { return off_cuts.empty() && fixings.empty(); }
  bool operator==(const OnHand&) const = default;
};

/// So many packs, bags or pieces to buy. Where one thing is bought in packs of several sizes it has a line for each,
/// and `needed` stands on the first.
struct ItemLine {
  std::string name;
  int quantity = 0;
  Money unit_price;
  double needed = 0;  ///< what the structures take: screws, panels; litres of concrete, gravel and preservative
  std::string unit;   ///< "pack of 100", "20 kg bag", "each"
  timber::Offer offer{};
};

/// A piece in a cutting layout: where its datum end lies along the length.
struct CutPiece {
  std::string mark;
  double at_mm = 0;
  double length_mm = 0;
  double across_mm = 0;  ///< place across the width, 0 unless ripped
  int part = 0;          ///< 1 or 2 where the piece is made of two, from its datum end; else 0

  bool operator==(const CutPiece&) const = default;
};

/// One way of cutting a length, `count` times over.
struct Layout {
  std::string section;
  double length_mm = 0;
  int count = 0;
  std::vector<CutPiece> pieces;
  double offcut_mm = 0;    ///< usable rest at the end
  bool from_shed = false;  ///< an off-cut is cut, which nobody need buy or trim
  bool straight = false;   ///< a length picked for straightness by the yard
};

/// What is known of a cost: never more than was proven.
/// Left out of it: pieces that cannot be bought; then nothing is called optimal. Tax on timber stands in the extras;
/// the proof of timber is of what is paid, and both its figures are less that tax.
struct Proof {
  Money cost, lower_bound;
  bool optimal = false;
};

/// What one yard is paid.
struct YardBill {
  std::string name, title, price_note;
  Money goods;     ///< as listed
  Money delivery;  ///< as listed; 0 where it is free
  Money make_up;   ///< what more is to be bought there, anything at all, to reach the minimum order or free delivery
  Money tax;       ///< on goods and delivery

  Money total() const { return {goods.minor + delivery.minor + make_up.minor + tax.minor}; }
};

/// What goes into one hole, litres, the post's own volume out. A post that stops short of the gravel stands on
/// concrete; one that goes through it takes its place there too.
struct HoleFill {
  double concrete_l = 0, gravel_l = 0;
};
struct Report {
  Currency currency;
  std::string price_note;  ///< the yard's word on its prices, and their date
  std::vector<TimberLine> timber;
  std::vector<ItemLine> fixings, panels, ground, extras;
  std::vector<Layout> cutting;
  OnHand from_shed;  ///< what is used of the off-cuts and spare fixings on hand
  OnHand
      left_over;  ///< what the work leaves: ends of lengths, lengths and fixings from bundles and packs not all needed
  Proof proof;
  std::vector<YardBill> bills;  ///< of yards with terms, or of several: each that is bought from, in the job's order
  Proof whole;                  ///< of the total: over every split between the yards, delivery and all
  Money total;
  Diagnostics diagnostics;  ///< "unbuyable" names the piece, the longest length sold and what would do
};

/// The least-cost purchase for all structures of a job from one yard: each section's lengths by exact cutting, fixings
/// in the packs that cost least, panels, bags for the holes, preservative for what was cut. What cannot be bought is
/// left out of lines and total and told of in `diagnostics`. Off-cuts and fixings `on_hand` cost nothing and are used
/// where that saves money. `cutting` limits the search, for each section.
Report buy(const Garden& garden, const timber::Yard& yard, const Saw& saw, const OnHand& on_hand = {},
           const cutting::Options& cutting = {});

/// The same from several yards: the cheapest split between them, with what each adds for delivery, its minimum order
/// and tax (timber::Terms). An order under the minimum, or under what is brought free where that is cheaper than to pay
/// for delivery, is made up with whatever one likes. Exact: every set of yards is either solved or shown to be no
/// cheaper (buying/split.cc); what could not be proven shows in Report::whole. One yard without terms is as above.
Report buy(const Garden& garden, const std::vector<timber::Yard>& yards, const Saw& saw, const OnHand& on_hand = {},
           const cutting::Options& cutting = {});

/// What goes into one hole, litres, the post's own volume out. A post that stops short of the gravel stands on
/// concrete; one that goes through it takes its place there too.
HoleFill hole_fill(const Structure& structure, const Footing& footing);

/// Treated timber that sawing lays open, which preservative is bought for.
double cut_treated_m2(const Garden& garden);

/// The yard's bag for a footing's `fill` ("postmix", "concrete", "gravel", or a bag by its name): the bag it proposes
/// for that role, else the one that fills `litres` at least cost; none when it sells no such thing.
const timber::GroundItem* bag_for(const timber::Yard& yard, const std::string& fill, double litres);
/// Whole bags for so many litres.
int bags_for(const timber::GroundItem& bag, double litres);

/// A hole, and how many bags of those that were bought fill it by itself.
struct FilledHole {
  HoleFill litres;
  std::string bag;  ///< by its name; empty when none was to be had
  int bags = 0;
};
FilledHole filled(const Structure& structure, const Footing& footing, const timber::Yard& yard,
                  const std::vector<ItemLine>& bought);

}  // namespace garthwright::buying
