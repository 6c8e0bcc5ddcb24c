// SPDX-License-Identifier: Apache-2.0
#include "base/diagnostic.h"

#include <algorithm>
#include <utility>

namespace garthwright {

std::string_view name(Severity severity) {
  switch (severity) {
    case Severity::note:
      return "note";
    case Severity::warning:
      return "warning";
    case Severity::error:
      return "error";
  }
  return "error";
}

static std::string to_string(const Place& place) {
  std::string text = place.file;
  if (place.line > 0) text += (text.empty() ? "line " : ":") + std::to_string(place.line);
  if (place.line > 0 && place.column > 0) text += ":" + std::to_string(place.column);
  if (!place.piece.empty()) text += (text.empty() ? "" : ": ") + place.piece;
  return text;
}

std::string to_string(const Diagnostic& diagnostic) {
  std::string text = to_string(diagnostic.where);
  if (!text.empty()) text += ": ";
  text += std::string(name(diagnostic.severity)) + ": " + diagnostic.what;
  if (!diagnostic.cure.empty()) text += "; " + diagnostic.cure;
  if (!diagnostic.code.empty()) text += " [" + diagnostic.code + "]";
  return text;
}

tl::unexpected<Diagnostics> fail(std::string code, std::string what, std::string cure, Place where) {
  return tl::make_unexpected(
      Diagnostics{{Severity::error, std::move(code), std::move(what), std::move(cure), std::move(where)}});
}

bool has_error(const Diagnostics& diagnostics) {
  return std::any_of(diagnostics.begin(), diagnostics.end(),
                     [](const Diagnostic& d) { return d.severity == Severity::error; });
}

}  // namespace garthwright
