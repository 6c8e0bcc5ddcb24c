// SPDX-License-Identifier: Apache-2.0
#include "buying/lengths.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <string_view>

#include "base/length.h"
#include "cutting/cutting.h"

namespace garthwright::buying {
namespace {

using timber::Section;
using timber::Yard;
using timber::YardLength;

constexpr double kAsThick = 0.5;           // mm: what sections of one thickness differ by
constexpr std::size_t kMostSplices = 300;  // ways to make pieces of two that are tried

LengthStyle style_of(const Yard& yard) { return {yard.units == "ft-in" ? Units::feet_inches : Units::mm, 16, true}; }

// ---- what is wanted, and what it may come out of --------------------------------------------------------------------

bool same_piece(const Wanted& known, const Piece& piece) {
  return known.mark == piece.mark && micrometres(known.length_mm) == micrometres(piece.length.value()) &&
         known.straight == piece.straight && known.joins_at == piece.joins_at;
}

std::vector<Wanted> wanted_of(const Garden& garden, const Group& group) {
  std::vector<Wanted> wanted;
  for (std::size_t s = 0; s < group.sections.size(); ++s) {
    const std::size_t first = wanted.size();
    for (const Structure& structure : garden.structures) {
      for (const Piece& piece : structure.pieces) {
        if (structure[piece.section].name != group.sections[s]->name) continue;
        const auto same = std::find_if(wanted.begin() + static_cast<std::ptrdiff_t>(first), wanted.end(),
                                       [&](const Wanted& known) { return same_piece(known, piece); });
        if (same != wanted.end())
          ++same->quantity;
        else
          wanted.push_back({piece.mark, piece.name, piece.length.value(), 1, static_cast<int>(s), piece.straight,
                            may_rip(piece), piece.joins_at, 0});
      }
    }
  }
  return wanted;
}

/// Strips of `narrow` out of `wide`; none (0 strips) when it cannot be.
Rip rip_of(const Section& wide, const Section& narrow, double kerf) {
  if (wide.treatment != narrow.treatment || wide.species != narrow.species) return {0, 0, 0, 0};
  Rip best{0, 0, 0, 0};
  const auto consider = [&](double thick, double strip) {
    if (std::abs(wide.thickness_mm - thick) > kAsThick || strip <= 0) return;
    const int strips = static_cast<int>((wide.width_mm + kerf + 1e-9) / (strip + kerf));
    const bool narrower = strip < wide.width_mm - kAsThick;
    if (narrower && strips > best.strips) best = {0, 0, strips, strip};
  };
  consider(narrow.thickness_mm, narrow.width_mm);
  consider(narrow.width_mm, narrow.thickness_mm);
  return best;
}

void add_sources(Group& group, int index, const Saw& saw, const OnHand& on_hand) {
  const Section& section = *group.sections[static_cast<std::size_t>(index)];
  for (const YardLength& length : section.lengths)
    if (length.length_mm > saw.trim_mm && length.limit.value_or(1) > 0) group.sources.push_back({index, length, false});
  for (const OffCut& off_cut : on_hand.off_cuts)
    if (off_cut.section == section.name && off_cut.quantity > 0)
      group.sources.push_back({index, {off_cut.length_mm, {0}, off_cut.quantity}, true});
}

double longest_in(const Source& source, const Saw& saw) {
  return source.length.length_mm - (source.from_shed ? 0 : saw.trim_mm);
}

bool long_enough(const Source& source, double length_mm, const Saw& saw) {
  return micrometres(length_mm) <= micrometres(longest_in(source, saw));
}

/// Lengths picked for straightness are kept to where the yard sells some that would do.
bool must_be_picked(const Group& group, const Wanted& piece, const Saw& saw) {
  return piece.straight && std::any_of(group.sources.begin(), group.sources.end(), [&](const Source& source) {
           return source.section == piece.section && source.length.straight &&
                  long_enough(source, piece.length_mm, saw);
         });
}

std::vector<int> sources_for(const Group& group, int section, bool picked) {
  std::vector<int> sources;
  for (std::size_t i = 0; i < group.sources.size(); ++i)
    if (group.sources[i].section == section && (!picked || group.sources[i].length.straight))
      sources.push_back(static_cast<int>(i));
  return sources;
}

std::vector<Rip> rips_to(const Group& group, int section) {
  std::vector<Rip> rips;
  for (const Rip& rip : group.rips)
    if (rip.to == section) rips.push_back(rip);
  return rips;
}

bool can_come(const Group& group, const Wanted& piece, const Saw& saw, bool ripping) {
  if (sources_for(group, piece.section, false).empty()) return false;
  return std::any_of(group.sources.begin(), group.sources.end(), [&](const Source& source) {
    if (!long_enough(source, piece.length_mm, saw)) return false;
    if (source.section == piece.section) return true;
    return ripping && piece.may_rip && std::any_of(group.rips.begin(), group.rips.end(), [&](const Rip& rip) {
             return rip.from == source.section && rip.to == piece.section;
           });
  });
}

// ---- what cannot be had ---------------------------------------------------------------------------------------------

/// The longest piece that new lengths of the section give.
double longest_piece(const Section& section, const Saw& saw) {
  double longest = 0;
  for (const YardLength& length : section.lengths)
    if (length.limit.value_or(1) > 0) longest = std::max(longest, length.length_mm - saw.trim_mm);
  return longest;
}

/// The slenderest section that is at least as stout and sold long enough.
const Section* stouter_and_longer(const Yard& yard, const Section& section, double length_mm, const Saw& saw) {
  const Section* best = nullptr;
  const auto area = [](const Section& s) { return s.width_mm * s.thickness_mm; };
  for (const Section& other : yard.sections) {
    const bool stout = other.width_mm >= section.width_mm && other.thickness_mm >= section.thickness_mm;
    if (!stout || micrometres(longest_piece(other, saw)) < micrometres(length_mm)) continue;
    if (best == nullptr || area(other) < area(*best)) best = &other;
  }
  return best;
}

Diagnostic unbuyable(const Wanted& piece, const Section& section, const Yard& yard, const Saw& saw) {
  const LengthStyle style = style_of(yard);
  const auto print = [&](double mm) { return format_length(mm, style); };
  const double longest = longest_piece(section, saw);
  Diagnostic diagnostic{Severity::error, "unbuyable", {}, {}, {"", 0, 0, piece.mark}};
  diagnostic.what = fmt::format("{} is {} long", piece.name, print(piece.length_mm));
  if (longest == 0) {
    diagnostic.what += fmt::format(", and {} sells no length of {}", yard.title, section.name);
    diagnostic.cure = "choose another section";
  } else {
    diagnostic.what += fmt::format("; the longest {} sold is {}, which gives {} after {} of trim", section.name,
                                   print(longest + saw.trim_mm), print(longest), print(saw.trim_mm));
    diagnostic.cure = fmt::format("make it {} or shorter, or splice it from two", print(longest));
  }
  if (const Section* other = stouter_and_longer(yard, section, piece.length_mm, saw))
    diagnostic.cure +=
        fmt::format(", or take {}, sold up to {}", other->name, print(longest_piece(*other, saw) + saw.trim_mm));
  return diagnostic;
}

Diagnostic not_cut(const cutting::Result& result, const std::string& section) {
  if (!result.diagnostics.empty()) {
    Diagnostic diagnostic = result.diagnostics.front();
    diagnostic.what = section + ": " + diagnostic.what;
    return diagnostic;
  }
  return {Severity::error,
          "not-cut",
          section + ": no way to cut the pieces was found within the work limit",
          "raise the limits on its lengths",
          {}};
}

// ---- how it is cut --------------------------------------------------------------------------------------------------

/// Lays out what the kernel found: where each piece lies, longest first, so that what is spoilt can still become a
/// shorter one. Strips beyond what is wanted are left out.
class LayoutMaker {
 public:
  LayoutMaker(const Group& group, const std::vector<Wanted>& wanted, const Saw& saw)
      : group_(group), wanted_(wanted), saw_(saw) {
    for (const Wanted& piece : wanted) left_.push_back(piece.quantity);
  }

  std::vector<Layout> make(const std::vector<cutting::Layout>& found) {
    std::vector<Layout> made;
    for (const cutting::Layout& layout : found) {
      if (!ripped(layout)) {
        made.push_back(laid_out(layout, static_cast<int>(layout.count)));
        continue;
      }
      for (std::int64_t i = 0; i < layout.count; ++i) {
        Layout one = laid_out(layout, 1);
        if (i > 0 && one.pieces == made.back().pieces)
          ++made.back().count;
        else
          made.push_back(std::move(one));
      }
    }
    return made;
  }

 private:
  static bool ripped(const cutting::Layout& layout) {
    return std::any_of(layout.cuts.begin(), layout.cuts.end(), [](const cutting::Cut& cut) { return cut.way > 0; });
  }

  Layout laid_out(const cutting::Layout& layout, int count) {
    const Source& source = group_.sources[static_cast<std::size_t>(layout.stock)];
    Layout out;
    out.section = group_.sections[static_cast<std::size_t>(source.section)]->name;
    out.length_mm = source.length.length_mm;
    out.from_shed = source.from_shed;
    out.straight = source.length.straight;
    out.count = count;
    std::vector<cutting::Cut> cuts = layout.cuts;
    std::stable_sort(cuts.begin(), cuts.end(), [&](const cutting::Cut& a, const cutting::Cut& b) {
      return wanted_[static_cast<std::size_t>(a.piece)].length_mm >
             wanted_[static_cast<std::size_t>(b.piece)].length_mm;
    });
    double at = source.from_shed ? 0 : saw_.trim_mm;
    for (const cutting::Cut& cut : cuts)
      for (std::int64_t i = 0; i < cut.count; ++i) {
        lay(cut, at, count, out);
        at += wanted_[static_cast<std::size_t>(cut.piece)].length_mm + saw_.kerf_mm;
      }
    const double rest = out.length_mm - at;
    out.offcut_mm = rest > 0.0005 ? rest : 0;
    return out;
  }

  void lay(const cutting::Cut& cut, double at, int count, Layout& out) {
    const Wanted& piece = wanted_[static_cast<std::size_t>(cut.piece)];
    Rip rip;
    if (cut.way > 0) rip = rips_to(group_, piece.section)[static_cast<std::size_t>(cut.way - 1)];
    for (int strip = 0; strip < rip.strips; ++strip) {
      int& left = left_[static_cast<std::size_t>(cut.piece)];
      if (cut.way > 0 && left < count) break;
      left -= count;
      out.pieces.push_back(
          {piece.mark, at, piece.length_mm, strip * (rip.strip_mm + saw_.rip_kerf_mm.value_or(0)), piece.part});
    }
  }

  const Group& group_;
  const std::vector<Wanted>& wanted_;
  const Saw& saw_;
  std::vector<int> left_;
};

/// The cheapest way found to get what is wanted from a group, and what none can cost less than.
struct Bought {
  std::vector<Wanted> wanted;
  Purchase purchase;
  std::int64_t lower_bound = 0;

  const cutting::Result& result() const { return purchase.result; }
  bool solved() const { return result().verdict == cutting::Verdict::solved; }
};

/// Solves for a group: what is cheapest of whole pieces and pieces of two, ripped and not.
class GroupSolver {
 public:
  GroupSolver(const Group& group, const Saw& saw, Cutter& cutter) : group_(group), saw_(saw), cutter_(cutter) {}

  Bought cheapest(const std::vector<Wanted>& wanted) {
    std::vector<std::vector<Wanted>> ways{{}};
    bool all = true;
    for (const Wanted& piece : wanted) ways = with(ways, piece, all);
    Bought best;
    best.purchase.result.verdict = cutting::Verdict::infeasible;
    std::int64_t bound = std::numeric_limits<std::int64_t>::max();
    for (const std::vector<Wanted>& way : ways) {
      if (!std::all_of(way.begin(), way.end(),
                       [&](const Wanted& piece) { return can_come(group_, piece, saw_, true); }))
        continue;
      std::optional<std::int64_t> at_most;
      if (best.solved()) at_most = best.result().cost - 1;
      Bought bought = without_splices(way, at_most);
      const bool none_cheaper = at_most && bought.result().verdict == cutting::Verdict::infeasible;
      if (!none_cheaper) bound = std::min(bound, bought.lower_bound);
      if (bought.solved() || !best.solved()) best = std::move(bought);
    }
    if (!best.solved()) return best;
    best.lower_bound = all ? std::min(bound, best.result().cost) : 0;
    return best;
  }

 private:
  /// Without ripping, and with it where that costs less.
  Bought without_splices(const std::vector<Wanted>& wanted, std::optional<std::int64_t> at_most) {
    Bought plain{wanted, {}, 0};
    const bool whole = std::all_of(wanted.begin(), wanted.end(),
                                   [&](const Wanted& piece) { return can_come(group_, piece, saw_, false); });
    plain.purchase.result.verdict = cutting::Verdict::infeasible;
    if (whole) plain.purchase = cutter_.solve(problem_of(group_, wanted, saw_, false), at_most);
    plain.lower_bound = plain.result().lower_bound;
    const bool rips = std::any_of(wanted.begin(), wanted.end(), [&](const Wanted& piece) {
      return piece.may_rip && !rips_to(group_, piece.section).empty();
    });
    if (!rips || plain.result().verdict == cutting::Verdict::refused) return plain;
    std::optional<std::int64_t> below = at_most;
    if (plain.solved()) below = plain.result().cost - 1;
    Bought ripped{wanted, cutter_.solve(problem_of(group_, wanted, saw_, true), below), 0};
    ripped.lower_bound = ripped.result().lower_bound;
    if (ripped.solved() || !plain.solved()) return ripped;
    // None is cheaper by a plan of any kind: infeasible says so with proof, and else what was found out counts.
    plain.lower_bound = ripped.result().verdict == cutting::Verdict::infeasible
                            ? plain.result().cost
                            : std::min(plain.lower_bound, ripped.result().lower_bound);
    return plain;
  }

  /// Every way so far, with every way to get this piece: whole first, then more and more of them made of two, at one
  /// place before two: where there are too many ways, the plainest are looked at.
  std::vector<std::vector<Wanted>> with(const std::vector<std::vector<Wanted>>& ways, const Wanted& piece,
                                        bool& all) const {
    std::vector<std::vector<Wanted>> more;
    std::vector<int> at_join(piece.joins_at.size(), 0);
    const auto add = [&] {
      std::vector<Wanted> pieces;
      int whole = piece.quantity;
      for (std::size_t j = 0; j < at_join.size(); ++j) {
        if (at_join[j] == 0) continue;
        whole -= at_join[j];
        for (const int part : {1, 2}) {
          Wanted half = piece;
          half.joins_at.clear();
          half.part = part;
          half.quantity = at_join[j];
          half.length_mm = part == 1 ? piece.joins_at[j] : piece.length_mm - piece.joins_at[j];
          pieces.push_back(std::move(half));
        }
      }
      if (whole > 0) {
        pieces.insert(pieces.begin(), piece);
        pieces.front().quantity = whole;
        pieces.front().joins_at.clear();
      }
      for (const std::vector<Wanted>& way : ways) {
        if (more.size() >= kMostSplices) {
          all = false;
          return;
        }
        more.push_back(way);
        more.back().insert(more.back().end(), pieces.begin(), pieces.end());
      }
    };
    // So many pieces at so many of the places from this one on.
    const auto choose = [&](auto&& self, std::size_t join, int left, int places) -> void {
      if (places == 0 && left == 0) add();
      if (places == 0 || left < places) return;
      if (more.size() >= kMostSplices) {
        all = false;
        return;
      }
      for (std::size_t j = join; j < at_join.size(); ++j) {
        for (int count = places == 1 ? left : 1; count <= left - (places - 1); ++count) {
          at_join[j] = count;
          self(self, j + 1, left - count, places - 1);
        }
        at_join[j] = 0;
      }
    };
    Wanted whole = piece;
    whole.joins_at.clear();
    const bool can_be_whole = piece.joins_at.empty() || can_come(group_, whole, saw_, true);
    if (can_be_whole) add();
    const int joins = static_cast<int>(piece.joins_at.size());
    for (int spliced = can_be_whole ? 1 : piece.quantity; joins > 0 && spliced <= piece.quantity; ++spliced)
      for (int places = 1; places <= std::min(joins, spliced); ++places) choose(choose, 0, spliced, places);
    return more;
  }

  const Group& group_;
  const Saw& saw_;
  Cutter& cutter_;
};

class GroupBuyer {
 public:
  GroupBuyer(const Group& group, const Yard& yard, const Saw& saw, Cutter& cutter, Report& report)
      : group_(group), yard_(yard), saw_(saw), cutter_(cutter), report_(report) {}

  void buy(std::vector<Wanted> wanted) {
    refuse_too_long(wanted);
    if (wanted.empty()) return;
    const Bought bought = GroupSolver(group_, saw_, cutter_).cheapest(wanted);
    if (!bought.solved()) {
      report_.diagnostics.push_back(not_cut(bought.result(), group_.sections.front()->name));
      report_.proof.optimal = false;
      return;
    }
    for (Layout& cut : LayoutMaker(group_, bought.wanted, saw_).make(bought.result().layouts)) {
      if (cut.offcut_mm > 0) report_.left_over.off_cuts.push_back({cut.section, cut.offcut_mm, cut.count});
      report_.cutting.push_back(std::move(cut));
    }
    std::size_t bundle = 0;  // of the first bundle of a source
    for (std::size_t i = 0; i < group_.sources.size(); ++i) {
      take_bundles(group_.sources[i], bought.purchase, bundle);
      bundle += group_.sources[i].length.bundles.size();
      if (bought.purchase.singles[i] > 0) take(group_.sources[i], static_cast<int>(bought.purchase.singles[i]));
      if (bought.purchase.spare[i] > 0) leave(group_.sources[i], static_cast<int>(bought.purchase.spare[i]));
    }
    report_.proof.cost.minor += bought.result().cost;
    report_.proof.lower_bound.minor += bought.lower_bound;
    report_.proof.optimal = report_.proof.optimal && bought.result().cost == bought.lower_bound;
    tell_of(bought);
  }

 private:
  const std::string& section_of(const Source& source) const {
    return group_.sections[static_cast<std::size_t>(source.section)]->name;
  }

  /// The largest bundles first.
  void take_bundles(const Source& source, const Purchase& purchase, std::size_t first) {
    const YardLength& length = source.length;
    for (std::size_t b = length.bundles.size(); b-- > 0;) {
      const timber::Pack& bundle = length.bundles[b];
      const int quantity = static_cast<int>(purchase.bundles[first + b]);
      if (quantity > 0)
        report_.timber.push_back({section_of(source), length.length_mm, quantity, bundle.price, bundle.offer,
                                  length.straight, bundle.count});
    }
  }

  void leave(const Source& source, int quantity) {
    report_.left_over.off_cuts.push_back({section_of(source), longest_in(source, saw_), quantity});
    note("left-whole",
         fmt::format("left whole of the bundles bought: {} of {} of {}", quantity, section_of(source),
                     format_length(source.length.length_mm, style_of(yard_))),
         "keep them for another job", "");
  }

  void take(const Source& source, int quantity) {
    const std::string& section = section_of(source);
    const YardLength& length = source.length;
    if (source.from_shed)
      report_.from_shed.off_cuts.push_back({section, length.length_mm, quantity});
    else
      report_.timber.push_back({section, length.length_mm, quantity, length.price, length.offer, length.straight});
  }

  void refuse_too_long(std::vector<Wanted>& wanted) {
    std::erase_if(wanted, [&](const Wanted& piece) {
      if (can_come(group_, piece, saw_, true) || !piece.joins_at.empty()) return false;
      report_.diagnostics.push_back(
          unbuyable(piece, *group_.sections[static_cast<std::size_t>(piece.section)], yard_, saw_));
      report_.proof.optimal = false;
      return true;
    });
  }

  /// What the saw does beyond cutting across is worth a word.
  void tell_of(const Bought& bought) {
    std::map<std::pair<std::string, std::string>, int> ripped;
    for (const cutting::Layout& layout : bought.result().layouts)
      for (const cutting::Cut& cut : layout.cuts)
        if (cut.way > 0) {
          const Wanted& piece = bought.wanted[static_cast<std::size_t>(cut.piece)];
          const Rip rip = rips_to(group_, piece.section)[static_cast<std::size_t>(cut.way - 1)];
          ripped[{piece.mark, group_.sections[static_cast<std::size_t>(rip.from)]->name}] = rip.strips;
        }
    for (const auto& [what, strips] : ripped)
      note("ripped",
           fmt::format("some of {} are ripped from {}, {} side by side, because that costs less", what.first,
                       what.second, strips),
           "brush preservative on the sawn faces", what.first);
    for (const Wanted& piece : bought.wanted)
      if (piece.part == 1)
        note("joined",
             fmt::format("{} of {} made of two, joined {} from the datum end", piece.quantity, piece.mark,
                         format_length(piece.length_mm, style_of(yard_))),
             "join them over what carries them", piece.mark);
  }

  void note(const char* code, std::string what, std::string cure, const std::string& mark) {
    report_.diagnostics.push_back({Severity::note, code, std::move(what), std::move(cure), {"", 0, 0, mark}});
  }

  const Group& group_;
  const Yard& yard_;
  const Saw& saw_;
  Cutter& cutter_;
  Report& report_;
};

void refuse_unknown_sections(const Garden& garden, const Yard& yard, Report& report) {
  std::vector<std::string> told;
  for (const Structure& structure : garden.structures) {
    for (const Piece& piece : structure.pieces) {
      const std::string& name = structure[piece.section].name;
      if (std::find(told.begin(), told.end(), name) != told.end()) continue;
      told.push_back(name);
      const auto section = timber::find_section(yard, name);
      if (section) continue;
      report.diagnostics.insert(report.diagnostics.end(), section.error().begin(), section.error().end());
      report.proof.optimal = false;
    }
  }
}

}  // namespace

std::int64_t micrometres(double mm) { return static_cast<std::int64_t>(std::floor(std::max(0.0, mm) * 1000 + 1e-6)); }

bool may_rip(const Piece& piece) { return !piece.carries && !piece.straight && piece.joins_at.empty(); }

std::vector<Group> groups_of(const Garden& garden, const Yard& yard, const Saw& saw, const OnHand& on_hand) {
  const std::size_t count = yard.sections.size();
  std::vector<char> used(count, 0), rippable(count, 0);
  for (const Structure& structure : garden.structures)
    for (const Piece& piece : structure.pieces)
      for (std::size_t s = 0; s < count; ++s) {
        if (yard.sections[s].name != structure[piece.section].name) continue;
        used[s] = 1;
        if (saw.rip_kerf_mm && may_rip(piece)) rippable[s] = 1;
      }
  // Sections that a rip joins are one group, told by the first of them in the yard's order.
  std::vector<std::size_t> group(count);
  std::iota(group.begin(), group.end(), std::size_t{0});
  struct Edge {
    std::size_t from, to;
    Rip rip;
  };
  std::vector<Edge> edges;
  for (std::size_t to = 0; to < count; ++to)
    for (std::size_t from = 0; rippable[to] && from < count; ++from) {
      if (from == to) continue;
      const Rip rip = rip_of(yard.sections[from], yard.sections[to], saw.rip_kerf_mm.value_or(0));
      if (rip.strips == 0) continue;
      edges.push_back({from, to, rip});
      used[from] = 1;
      const std::size_t low = std::min(group[from], group[to]), high = std::max(group[from], group[to]);
      std::replace(group.begin(), group.end(), high, low);
    }
  std::vector<Group> groups;
  for (std::size_t g = 0; g < count; ++g) {
    Group one;
    std::vector<int> place(count, -1);
    for (std::size_t s = 0; s < count; ++s) {
      if (group[s] != g || !used[s]) continue;
      place[s] = static_cast<int>(one.sections.size());
      one.sections.push_back(&yard.sections[s]);
      add_sources(one, place[s], saw, on_hand);
    }
    for (const Edge& edge : edges)
      if (place[edge.from] >= 0 && place[edge.to] >= 0)
        one.rips.push_back({place[edge.from], place[edge.to], edge.rip.strips, edge.rip.strip_mm});
    if (!one.sections.empty()) groups.push_back(std::move(one));
  }
  return groups;
}

BundleProblem problem_of(const Group& group, const std::vector<Wanted>& wanted, const Saw& saw, bool ripping) {
  BundleProblem bundled;
  cutting::Problem& problem = bundled.cutting;
  problem.kerf = micrometres(saw.kerf_mm);
  problem.trim = micrometres(saw.trim_mm);
  std::int64_t unit = std::gcd(problem.kerf, problem.trim);
  for (const Source& source : group.sources) {
    cutting::Stock stock;
    stock.length = micrometres(source.length.length_mm);
    stock.cost = source.length.price.minor;
    if (source.length.limit) stock.limit = *source.length.limit;
    stock.off_cut = source.from_shed;
    unit = std::gcd(unit, stock.length);
    const int index = static_cast<int>(problem.stock.size());
    for (const timber::Pack& bundle : source.length.bundles)
      bundled.bundles.push_back({index, bundle.count, bundle.price.minor});
    if (!source.length.singly) bundled.not_singly.push_back(index);
    problem.stock.push_back(stock);
  }
  for (const Wanted& piece : wanted) {
    cutting::Piece cut;
    cut.length = micrometres(piece.length_mm);
    cut.quantity = piece.quantity;
    const bool picked = must_be_picked(group, piece, saw);
    if (group.sections.size() > 1 || picked) cut.only_from = sources_for(group, piece.section, picked);
    if (ripping && piece.may_rip)
      for (const Rip& rip : rips_to(group, piece.section))
        cut.alternatives.push_back({cut.length, rip.strips, sources_for(group, rip.from, false)});
    unit = std::gcd(unit, cut.length);
    problem.pieces.push_back(std::move(cut));
  }
  unit = std::max<std::int64_t>(unit, 1);
  problem.kerf /= unit;
  problem.trim /= unit;
  for (cutting::Stock& stock : problem.stock) stock.length /= unit;
  for (cutting::Piece& piece : problem.pieces) {
    piece.length /= unit;
    for (cutting::Way& way : piece.alternatives) way.length /= unit;
  }
  return bundled;
}

const Purchase& Cutter::solve(const BundleProblem& bundled, std::optional<std::int64_t> at_most) {
  const cutting::Problem& problem = bundled.cutting;
  std::string key = fmt::format("{} {} {}", problem.kerf, problem.trim, at_most.value_or(-1));
  for (const cutting::Stock& stock : problem.stock)
    key += fmt::format("|{} {} {} {}", stock.length, stock.cost, stock.limit.value_or(-1), stock.off_cut);
  for (const cutting::Piece& piece : problem.pieces) {
    key += fmt::format("/{} {} {}", piece.length, piece.quantity, fmt::join(piece.only_from, ","));
    for (const cutting::Way& way : piece.alternatives)
      key += fmt::format("+{} {} {}", way.length, way.yield, fmt::join(way.only_from, ","));
  }
  for (const Bundle& bundle : bundled.bundles) key += fmt::format("*{} {} {}", bundle.stock, bundle.count, bundle.cost);
  if (!bundled.not_singly.empty()) key += fmt::format("!{}", fmt::join(bundled.not_singly, ","));
  const auto known = solved_.find(key);
  if (known != solved_.end()) return known->second;
  cutting::Options options = options_;
  options.at_most = at_most;
  return solved_.emplace(std::move(key), buying::solve(bundled, options)).first->second;
}

GroupCost group_cost(const Group& group, const std::vector<Wanted>& wanted, const Saw& saw, Cutter& cutter) {
  const Bought bought = GroupSolver(group, saw, cutter).cheapest(wanted);
  return {bought.result().cost, bought.lower_bound, bought.solved()};
}

void buy_lengths(const Garden& garden, const Yard& yard, const Saw& saw, const OnHand& on_hand, Cutter& cutter,
                 Report& report) {
  report.proof.optimal = true;
  refuse_unknown_sections(garden, yard, report);
  for (const Group& group : groups_of(garden, yard, saw, on_hand))
    GroupBuyer(group, yard, saw, cutter, report).buy(wanted_of(garden, group));
}

}  // namespace garthwright::buying
