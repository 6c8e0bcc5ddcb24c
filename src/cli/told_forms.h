// SPDX-License-Identifier: Apache-2.0
//
// What the command line says of itself, in the forms that other programs show.
#pragma once

#include <string>

#include "cli/command_line.h"

namespace garthwright::cli {

/// A manual page in man(7).
std::string man_page(const ProgramWords& words, const std::string& version, const std::string& day);
/// Completions for these shells.
std::string bash_completion(const ProgramWords& words);
std::string zsh_completion(const ProgramWords& words);
std::string fish_completion(const ProgramWords& words);

}  // namespace garthwright::cli
