// SPDX-License-Identifier: Apache-2.0
#include "buying/lengths.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string_view>

#include "base/length.h"
#include "cutting/cutting.h"

namespace garthwright::buying {
namespace {

using timber::Section;
using timber::Yard;
using timber::YardLength;

LengthStyle style_of(const Yard& yard) { return {yard.units == "ft-in" ? Units::feet_inches : Units::mm, 16, true}; }

std::vector<Wanted> wanted_of(const std::vector<Structure>& structures, const std::string& section) {
  std::vector<Wanted> wanted;
  for (const Structure& structure : structures) {
    for (const Piece& piece : structure.pieces) {
      if (structure[piece.section].name != section) continue;
      const double length = piece.length.value();
      const auto same = std::find_if(wanted.begin(), wanted.end(), [&](const Wanted& known) {
        return known.mark == piece.mark && micrometres(known.length_mm) == micrometres(length);
      });
      if (same != wanted.end()) {
        ++same->quantity;
      } else {
        wanted.push_back({piece.mark, piece.name, length, 1});
      }
    }
  }
  return wanted;
}

double longest_of(const std::vector<Source>& sources, const Saw& saw) {
  double longest = 0;
  for (const Source& source : sources)
    longest = std::max(longest, source.length.length_mm - (source.from_shed ? 0 : saw.trim_mm));
  return longest;
}

/// The longest piece that new lengths of the section give.
double longest_piece(const Section& section, const Saw& saw) { return longest_of(sources_of(section, saw, {}), saw); }

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

/// Where each piece of a layout lies, longest first: what is spoilt can still become a shorter one.
Layout laid_out(const cutting::Layout& layout, const std::vector<Source>& sources, const std::vector<Wanted>& wanted,
                const std::string& section, const Saw& saw) {
  const Source& source = sources[static_cast<std::size_t>(layout.stock)];
  Layout out;
  out.section = section;
  out.length_mm = source.length.length_mm;
  out.from_shed = source.from_shed;
  out.count = static_cast<int>(layout.count);
  for (const cutting::Cut& cut : layout.cuts) {
    const Wanted& piece = wanted[static_cast<std::size_t>(cut.piece)];
    for (std::int64_t i = 0; i < cut.count; ++i) out.pieces.push_back({piece.mark, 0, piece.length_mm, 0});
  }
  std::stable_sort(out.pieces.begin(), out.pieces.end(),
                   [](const CutPiece& a, const CutPiece& b) { return a.length_mm > b.length_mm; });
  double at = source.from_shed ? 0 : saw.trim_mm;
  for (CutPiece& piece : out.pieces) {
    piece.at_mm = at;
    at += piece.length_mm + saw.kerf_mm;
  }
  const double rest = out.length_mm - at;
  out.offcut_mm = rest > 0.0005 ? rest : 0;
  return out;
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

class SectionBuyer {
 public:
  SectionBuyer(const Section& section, const Yard& yard, const Saw& saw, const OnHand& on_hand, Report& report)
      : section_(section), yard_(yard), saw_(saw), report_(report), sources_(sources_of(section, saw, on_hand)) {}

  void buy(std::vector<Wanted> wanted, const cutting::Options& options) {
    refuse_too_long(wanted);
    if (wanted.empty()) return;
    const cutting::Result result = cutting::solve(problem_of(sources_, wanted, saw_), options);
    if (result.verdict != cutting::Verdict::solved) {
      report_.diagnostics.push_back(not_cut(result, section_.name));
      report_.proof.optimal = false;
      return;
    }
    std::vector<int> quantity(sources_.size(), 0);
    for (const cutting::Layout& layout : result.layouts) {
      quantity[static_cast<std::size_t>(layout.stock)] += static_cast<int>(layout.count);
      report_.cutting.push_back(laid_out(layout, sources_, wanted, section_.name, saw_));
      const Layout& cut = report_.cutting.back();
      if (cut.offcut_mm > 0) report_.left_over.off_cuts.push_back({section_.name, cut.offcut_mm, cut.count});
    }
    for (std::size_t i = 0; i < sources_.size(); ++i)
      if (quantity[i] > 0) take(sources_[i], quantity[i]);
    report_.proof.cost.minor += result.cost;
    report_.proof.lower_bound.minor += result.lower_bound;
    report_.proof.optimal = report_.proof.optimal && result.optimal;
  }

 private:
  void take(const Source& source, int quantity) {
    if (source.from_shed)
      report_.from_shed.off_cuts.push_back({section_.name, source.length.length_mm, quantity});
    else
      report_.timber.push_back({section_.name, source.length.length_mm, quantity, source.length.price});
  }

  void refuse_too_long(std::vector<Wanted>& wanted) {
    const double longest = longest_of(sources_, saw_);
    std::erase_if(wanted, [&](const Wanted& piece) {
      if (micrometres(piece.length_mm) <= micrometres(longest)) return false;
      report_.diagnostics.push_back(unbuyable(piece, section_, yard_, saw_));
      report_.proof.optimal = false;
      return true;
    });
  }

  const Section& section_;
  const Yard& yard_;
  const Saw& saw_;
  Report& report_;
  std::vector<Source> sources_;
};

void refuse_unknown_sections(const std::vector<Structure>& structures, const Yard& yard, Report& report) {
  std::vector<std::string> told;
  for (const Structure& structure : structures) {
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

std::vector<Source> sources_of(const Section& section, const Saw& saw, const OnHand& on_hand) {
  std::vector<Source> usable;
  for (const YardLength& length : section.lengths)
    if (length.length_mm > saw.trim_mm && length.limit.value_or(1) > 0) usable.push_back({length, false});
  for (const OffCut& off_cut : on_hand.off_cuts)
    if (off_cut.section == section.name && off_cut.quantity > 0)
      usable.push_back({{off_cut.length_mm, {0}, off_cut.quantity}, true});
  return usable;
}

cutting::Problem problem_of(const std::vector<Source>& sources, const std::vector<Wanted>& wanted, const Saw& saw) {
  cutting::Problem problem;
  problem.kerf = micrometres(saw.kerf_mm);
  problem.trim = micrometres(saw.trim_mm);
  std::int64_t unit = std::gcd(problem.kerf, problem.trim);
  for (const Source& source : sources) {
    cutting::Stock stock;
    stock.length = micrometres(source.length.length_mm);
    stock.cost = source.length.price.minor;
    if (source.length.limit) stock.limit = *source.length.limit;
    stock.off_cut = source.from_shed;
    unit = std::gcd(unit, stock.length);
    problem.stock.push_back(stock);
  }
  for (const Wanted& piece : wanted) {
    cutting::Piece cut;
    cut.length = micrometres(piece.length_mm);
    cut.quantity = piece.quantity;
    unit = std::gcd(unit, cut.length);
    problem.pieces.push_back(cut);
  }
  unit = std::max<std::int64_t>(unit, 1);
  problem.kerf /= unit;
  problem.trim /= unit;
  for (cutting::Stock& stock : problem.stock) stock.length /= unit;
  for (cutting::Piece& piece : problem.pieces) piece.length /= unit;
  return problem;
}

void buy_lengths(const std::vector<Structure>& structures, const Yard& yard, const Saw& saw, const OnHand& on_hand,
                 const cutting::Options& options, Report& report) {
  report.proof.optimal = true;
  refuse_unknown_sections(structures, yard, report);
  for (const Section& section : yard.sections)
    SectionBuyer(section, yard, saw, on_hand, report).buy(wanted_of(structures, section.name), options);
}

}  // namespace garthwright::buying
