// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace garthwright {

/// How much a diagnostic weighs. Only `error` stops a plan from being made.
enum class Severity { note, warning, error };

/// Where a diagnostic points: a file position, a piece, or both. Line and column count from 1; 0 means unknown.
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
  std::string piece;

  bool operator==(const Place&) const = default;
};

/// One thing a person should know: what is wrong, where, and what would be right.
/// Text is meant to be read as `where: what; cure`. `code` is stable and lower-case with dashes ("unknown-key").
struct Diagnostic {
  Severity severity = Severity::error;
  std::string code;
  std::string what;
  std::string cure;
  Place where;

  bool operator==(const Diagnostic&) const = default;
};

using Diagnostics = std::vector<Diagnostic>;

/// The value, or every reason why there is none (at least one of them an error).
template <class T>
using Result = tl::expected<T, Diagnostics>;

/// "error" for Severity::error, and so on.
std::string_view name(Severity severity);

/// One line: "garden.toml:14:3: error: opening is 90 mm; give 600 mm to 4000 mm [out-of-range]".
std::string to_string(const Diagnostic& diagnostic);

/// An error as the failing side of a Result.
tl::unexpected<Diagnostics> fail(std::string code, std::string what, std::string cure = {}, Place where = {});

bool has_error(const Diagnostics& diagnostics);

}  // namespace garthwright
