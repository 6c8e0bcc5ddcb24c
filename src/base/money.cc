// SPDX-License-Identifier: Apache-2.0
#include "base/money.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <vector>

#include "base/near.h"
#include "base/quoted.h"

namespace garthwright {
namespace {

/// ISO 4217 table A.1: money in use, without funds, metals and test codes.
constexpr std::string_view kCodes =
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF "
    "CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG "
    "HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA "
    "MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD "
    "RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX "
    "USD UYU UZS VED VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW";
/// The exceptions from two digits (same table; from memory).
constexpr std::string_view kNoMinor = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF";
constexpr std::string_view kThousandths = "BHD IQD JOD KWD LYD OMR TND";

bool holds(std::string_view codes, std::string_view code) {
  return code.size() == 3 && code.find(' ') == std::string_view::npos && codes.find(code) != std::string_view::npos;
}

std::vector<std::string> all_codes() {
  std::vector<std::string> codes;
  for (std::size_t at = 0; at < kCodes.size(); at += 4) codes.emplace_back(kCodes.substr(at, 3));
  return codes;
}

std::int64_t power_of_ten(int digits) {
  std::int64_t power = 1;
  while (digits-- > 0) power *= 10;
  return power;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

bool all_digits(std::string_view text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

}  // namespace

Result<Currency> currency(std::string_view code) {
  if (!holds(kCodes, code)) {
    const auto near = near_names(code, all_codes());
    return fail("unknown-currency", quoted(code) + " is not a currency of ISO 4217",
                near.empty() ? "write its three letters, like EUR, GBP or USD" : suggest(code, all_codes()));
  }
  return Currency{std::string(code), holds(kNoMinor, code) ? 0 : holds(kThousandths, code) ? 3 : 2};
}

Result<Money> parse_money(std::string_view text, const Currency& currency) {
  const std::string example = format_money({12 * power_of_ten(currency.minor_digits)}, currency, true);
  const auto refuse = [&](const std::string& what) { return fail("bad-money", what, "write it like " + example); };

  std::string_view rest = trimmed(text);
  if (rest.substr(0, currency.code.size()) == currency.code) rest = trimmed(rest.substr(currency.code.size()));
  const bool negative = !rest.empty() && rest.front() == '-';
  if (negative) rest.remove_prefix(1);
  const auto mark = rest.find_first_of(".,");
  const std::string_view whole = rest.substr(0, mark);
  const std::string_view part = mark == std::string_view::npos ? std::string_view{} : rest.substr(mark + 1);
  const bool dangling = mark != std::string_view::npos && part.empty();
  if (whole.empty() || dangling || !all_digits(whole) || !all_digits(part))
    return refuse(quoted(text) + " is not an amount of money");
  if (part.size() > static_cast<std::size_t>(currency.minor_digits))
    return refuse(
        fmt::format("{} has more decimals than {} has ({})", quoted(text), currency.code, currency.minor_digits));

  std::string digits = std::string(whole) + std::string(part);
  digits.append(static_cast<std::size_t>(currency.minor_digits) - part.size(), '0');
  constexpr std::int64_t kMost = 1'000'000'000'000'000;  // sums of a thousand of them still fit
  std::int64_t minor = 0;
  for (char c : digits) {
    minor = minor * 10 + (c - '0');
    if (minor > kMost) return refuse(quoted(text) + " is more money than can be counted");
  }
  return Money{negative ? -minor : minor};
}

std::string format_money(Money amount, const Currency& currency, bool bare) {
  // Through unsigned, for the one value whose opposite does not fit.
  const std::uint64_t size =
      amount.minor < 0 ? 0 - static_cast<std::uint64_t>(amount.minor) : static_cast<std::uint64_t>(amount.minor);
  const auto unit = static_cast<std::uint64_t>(power_of_ten(currency.minor_digits));
  std::string text = fmt::format("{}{}", amount.minor < 0 ? "-" : "", size / unit);
  if (currency.minor_digits > 0) text += fmt::format(".{:0{}}", size % unit, currency.minor_digits);
  return bare ? text : currency.code + " " + text;
}

}  // namespace garthwright
