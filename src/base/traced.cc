// SPDX-License-Identifier: Apache-2.0
#include "base/traced.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <set>
#include <utility>

namespace garthwright {
namespace {

/// A factor or constant so small that it is only rounding left over from a cancelled sum.
constexpr double kRounding = 1e-9;

/// Lets go of a quantity, and then of what it was made of, one after the other: a chain may be a million steps long.
void let_go(const Quantity* last) {
  std::vector<QuantityPtr> left = std::move(const_cast<Quantity*>(last)->from);
  delete last;
  while (!left.empty()) {
    const QuantityPtr next = std::move(left.back());
    left.pop_back();
    // Nobody else holds it, so nobody else can begin to: its own parts are taken over before it goes.
    if (next.use_count() != 1) continue;
    std::vector<QuantityPtr>& parts = const_cast<Quantity&>(*next).from;
    left.insert(left.end(), std::make_move_iterator(parts.begin()), std::make_move_iterator(parts.end()));
    parts.clear();
  }
}

std::shared_ptr<Quantity> new_quantity() { return {new Quantity, let_go}; }

QuantityPtr quantity(std::string name, double value, std::string source, bool length) {
  auto q = new_quantity();
  q->name = std::move(name);
  q->value = value;
  q->source = std::move(source);
  q->length = length;
  return q;
}

std::string print_number(double value) {
  if (std::abs(value - std::round(value)) < kRounding) return fmt::format("{:.0f}", value);
  for (int part : {2, 3, 4, 8, 16}) {  // the parts people say aloud
    const double upper = value * part;
    if (std::abs(upper - std::round(upper)) < kRounding) return fmt::format("{:.0f}/{}", upper, part);
  }
  return fmt::format("{:.4g}", value);
}

std::string print_length(double mm, LengthStyle style) {
  style.symbol = false;
  return format_length(mm, style);
}

std::string print_value(const Quantity& q, LengthStyle style);

/// An operand as a product's formula shows it; one that is long itself is called by its name, or formulas would double
/// with every step.
std::string operand(const Traced& a) {
  constexpr std::size_t kLong = 120;
  std::string text = a.sum();
  if (text.size() <= kLong) return text;
  const auto& first = a.terms().front();
  return a.terms().size() == 1 && first.factor == 1 && a.constant() == 0
             ? first.quantity->name + " " + print_value(*first.quantity, {})
             : "a sum of " + print_length(a.value(), {});
}

std::string print_value(const Quantity& q, LengthStyle style) {
  return q.length ? print_length(q.value, style) : print_number(q.value);
}

/// The same quantity may reach a sum by two ways; what a person sees as one thing is one thing.
bool same(const Quantity& a, const Quantity& b) {
  return &a == &b || (a.name == b.name && a.value == b.value && a.formula == b.formula);
}

/// A story is for people: beyond this depth, and beyond so many lines, nobody reads on.
constexpr int kDeepest = 30;
constexpr std::size_t kMostLines = 1000;

void tell(const Quantity& q, LengthStyle style, int depth, std::set<std::string>& told,
          std::vector<std::string>& lines) {
  std::string line(static_cast<std::size_t>(2 * depth), ' ');
  if (depth > kDeepest || lines.size() >= kMostLines) {
    if (told.insert(line + "…").second) lines.push_back(line + "…");
    return;
  }
  line += q.name + " " + print_value(q, style);
  if (!q.formula.empty()) line += " = " + q.formula;
  if (!q.source.empty()) line += " (" + q.source + ")";
  if (!told.insert(line).second) return;
  lines.push_back(line);
  for (const QuantityPtr& under : q.from) tell(*under, style, depth + 1, told, lines);
}

}  // namespace

Traced Traced::of(QuantityPtr quantity) {
  Traced traced;
  traced.value_ = quantity->value;
  traced.terms_.push_back({std::move(quantity), 1.0});
  return traced;
}

Traced Traced::named(std::string name, double value, std::string source, bool length) {
  return of(quantity(std::move(name), value, std::move(source), length));
}

Traced Traced::step(std::string name, double value, std::string formula, const std::vector<Traced>& operands,
                    bool length) {
  auto q = new_quantity();
  q->name = std::move(name);
  q->value = value;
  q->length = length;
  q->formula = std::move(formula);
  for (const Traced& operand : operands)
    for (const Term& term : operand.terms_) q->from.push_back(term.quantity);
  return of(std::move(q));
}

Traced operator+(const Traced& a, const Traced& b) {
  Traced sum = a;
  sum.constant_ += b.constant_;
  sum.value_ += b.value_;
  for (const Traced::Term& term : b.terms_) {
    bool merged = false;
    for (auto it = sum.terms_.begin(); it != sum.terms_.end(); ++it) {
      if (!same(*it->quantity, *term.quantity)) continue;
      it->factor += term.factor;
      if (std::abs(it->factor) < kRounding) sum.terms_.erase(it);
      merged = true;
      break;
    }
    if (!merged) sum.terms_.push_back(term);
  }
  return sum;
}

Traced operator*(double factor, const Traced& a) {
  if (factor == 0) return 0;
  Traced product = a;
  product.value_ *= factor;
  product.constant_ *= factor;
  for (Traced::Term& term : product.terms_) term.factor *= factor;
  return product;
}

Traced operator-(const Traced& a) { return -1.0 * a; }
Traced operator-(const Traced& a, const Traced& b) { return a + (-1.0 * b); }

Traced operator*(const Traced& a, const Traced& b) {
  if (a.plain()) return a.value() * b;
  if (b.plain()) return b.value() * a;
  return Traced::step("product", a.value() * b.value(), fmt::format("({}) × ({})", operand(a), operand(b)), {a, b});
}

Traced operator/(const Traced& a, const Traced& b) {
  if (b.plain()) return (1.0 / b.value()) * a;
  return Traced::step("share", a.value() / b.value(), fmt::format("({}) ÷ ({})", operand(a), operand(b)), {a, b});
}

Traced min(const Traced& a, const Traced& b) { return b.value() < a.value() ? b : a; }
Traced max(const Traced& a, const Traced& b) { return b.value() > a.value() ? b : a; }

std::string Traced::sum(LengthStyle style) const {
  if (terms_.size() == 1 && terms_[0].factor == 1 && constant_ == 0 && !terms_[0].quantity->formula.empty())
    return terms_[0].quantity->formula;
  std::string text;
  for (const Term& term : terms_) {
    const double size = std::abs(term.factor);
    if (text.empty())
      text += term.factor < 0 ? "−" : "";
    else
      text += term.factor < 0 ? " − " : " + ";
    if (std::abs(size - 1.0) >= kRounding) text += print_number(size) + " × ";
    text += term.quantity->name + " " + print_value(*term.quantity, style);
  }
  if (std::abs(constant_) >= 1e-6 || text.empty()) {
    const std::string number = print_length(std::abs(constant_), style);
    if (text.empty())
      text = (constant_ < 0 ? "−" : "") + number;
    else
      text += (constant_ < 0 ? " − " : " + ") + number;
  }
  return text;
}

std::vector<std::string> Traced::story(LengthStyle style) const {
  std::vector<std::string> lines{print_length(value_, style) + " = " + sum(style)};
  std::set<std::string> told;
  if (terms_.size() == 1 && lines[0] == print_length(value_, style) + " = " + terms_[0].quantity->formula) {
    for (const QuantityPtr& under : terms_[0].quantity->from) tell(*under, style, 1, told, lines);
    return lines;
  }
  for (const Term& term : terms_) tell(*term.quantity, style, 1, told, lines);
  return lines;
}

}  // namespace garthwright
