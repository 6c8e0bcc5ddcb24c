// SPDX-License-Identifier: Apache-2.0
#include "exchange/csv_field.h"

namespace garthwright::exchange {

std::string csv_field(std::string_view text, char separator) {
  if (text.find(separator) == std::string_view::npos && text.find_first_of("\"\r\n") == std::string_view::npos)
    return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + '"';
}

}  // namespace garthwright::exchange
