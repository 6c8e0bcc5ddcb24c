// SPDX-License-Identifier: Apache-2.0
//
// Changes single values of a job's text and leaves every other character as its writer put it: comments, order,
// spelling. All who change jobs write through here. After each change the text is read again, and it must say what was
// meant and nothing else; where it would not, the change fails and the text stays as it was.
#pragma once

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::pattern {

/// A value as TOML has it: text in quotes.
std::string toml_text(const std::string& text);

class JobText {
 public:
  /// Fails as parse_toml does.
  static Result<JobText> read(std::string text, const std::string& file);

  const std::string& text() const { return text_; }

  /// `name = value` among the choices of the structure of that number; `value` is TOML ("700", "'4x4'"). The value that
  /// stands there is replaced, else a line is added, with the comment ("# as deep as the spade goes") when there is
  /// one.
  Result<void> set_choice(std::size_t structure, const std::string& name, const std::string& value,
                          const std::string& comment = {});
  /// How a joint is fixed, in [structure.fixings]: "rafter to beam" = "2 x bolt M10".
  Result<void> set_fixing(std::size_t structure, const std::string& joint, const std::string& value);
  /// A fact in [site].
  Result<void> set_site(const std::string& name, const std::string& value);
  /// Sets what was left open in a structure, and takes `open` out; its comments go with the choices or stay in lines of
  /// their own.
  Result<void> settle(std::size_t structure, const std::vector<std::pair<std::string, std::string>>& values);

 private:
  Result<void> set_in(std::size_t structure, const std::string& table, const std::string& name,
                      const std::string& value, const std::string& comment);
  JobText(std::string text, std::string file) : text_(std::move(text)), file_(std::move(file)) {}

  std::string text_, file_;
};

}  // namespace garthwright::pattern
