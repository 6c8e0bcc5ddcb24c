// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace garthwright {

/// A currency by its ISO 4217 code and the number of digits of its minor unit (EUR 2, JPY 0).
struct Currency {
  std::string code;
  int minor_digits = 2;

  bool operator==(const Currency&) const = default;
};

/// The currency with this ISO 4217 code; fails with "unknown-currency" and the near codes.
Result<Currency> currency(std::string_view code);

/// An amount in minor units ("1295" of EUR is 12.95). Sums are exact; no floating point touches money.
struct Money {
  std::int64_t minor = 0;

  auto operator<=>(const Money&) const = default;
};

/// Reads `12.95`, `12,95`, `12.9`, `12`; more digits than the currency has are an error, not rounded away.
Result<Money> parse_money(std::string_view text, const Currency& currency);

/// Prints "EUR 12.95"; with `bare`, "12.95".
std::string format_money(Money amount, const Currency& currency, bool bare = false);

}  // namespace garthwright
