// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "base/length.h"

namespace garthwright {

/// A named quantity that sums are made of: a choice, an actual size, a rule's figure, or a step that is not linear
/// (then `formula` tells how it came about and `from` what it was made of). Lengths in mm, pure numbers as they are.
struct Quantity {
  std::string name;  ///< "opening", "post thickness", "brace long edge"
  double value = 0;
  bool length = true;   ///< false: a pure number (a count, a ratio)
  std::string source;   ///< "choice", "default", "measured", "yard", "rule" or ""
  std::string formula;  ///< "400 × √2" where the step is not linear, else ""
  std::vector<std::shared_ptr<const Quantity>> from;
};

using QuantityPtr = std::shared_ptr<const Quantity>;

/// A number that remembers the sum it came from: constant + Σ factor × quantity. Differences cancel, so that the gap
/// between two posts that were placed "opening" apart reads as "opening" again, whatever the way it was computed.
class Traced {
 public:
  struct Term {
    QuantityPtr quantity;
    double factor = 1;
  };

  Traced() = default;
  Traced(double constant) : value_(constant), constant_(constant) {}  // NOLINT: a plain number is a sum of itself
  static Traced of(QuantityPtr quantity);
  static Traced named(std::string name, double value, std::string source = {}, bool length = true);

  double value() const { return value_; }
  double constant() const { return constant_; }
  const std::vector<Term>& terms() const { return terms_; }
  bool plain() const { return terms_.empty(); }

  friend Traced operator+(const Traced& a, const Traced& b);
  friend Traced operator-(const Traced& a, const Traced& b);
  friend Traced operator-(const Traced& a);
  friend Traced operator*(double factor, const Traced& a);
  /// Linear where one side is a plain number; else a new quantity whose formula shows the product.
  friend Traced operator*(const Traced& a, const Traced& b);
  /// Division by zero gives an infinite value, which callers refuse where it would become a size.
  friend Traced operator/(const Traced& a, const Traced& b);

  /// A step that is not linear: `value` came from `operands` by `formula`, and is called `name` from here on.
  static Traced step(std::string name, double value, std::string formula, const std::vector<Traced>& operands,
                     bool length = true);

  /// "opening 1150 + 2 × post thickness 45"; a lone quantity that is itself a step shows its formula.
  std::string sum(LengthStyle style = {}) const;
  /// The sum and, below it, a line for each quantity it rests on ("brace leg 450 (choice)").
  std::vector<std::string> story(LengthStyle style = {}) const;

 private:
  double value_ = 0;
  double constant_ = 0;
  std::vector<Term> terms_;  // in order of first use; no quantity twice, no factor zero
};

Traced min(const Traced& a, const Traced& b);
Traced max(const Traced& a, const Traced& b);

}  // namespace garthwright
