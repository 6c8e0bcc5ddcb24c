// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>

#include "base/source_dir_for_tests.h"

/// What the tests are held to from outside: tests/reference, whose README says what each file is and where it is from.
namespace garthwright::reference {

inline std::filesystem::path folder() { return std::filesystem::path(source_dir()) / "tests" / "reference"; }

/// The whole text of one of its files; a test without it fails.
inline std::string text(const std::string& file) {
  std::ifstream in(folder() / file);
  if (!in) throw std::runtime_error("no reference file " + (folder() / file).string());
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

}  // namespace garthwright::reference
