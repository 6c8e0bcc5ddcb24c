// SPDX-License-Identifier: Apache-2.0
//
// Where the program looks for patterns and catalogues, and keeps what is a person's own.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace garthwright::cli {

/// What came with the program, and how it was found.
struct ShareFolder {
  std::filesystem::path path;
  std::string how;  ///< "GARTHWRIGHT_SHARE names it"
};

/// $GARTHWRIGHT_SHARE when set; else ../share/garthwright from the program when it stands there; else, for a program in
/// the folder it was built in and for no other, the sources it was built from. None: it was moved without its folder.
std::optional<ShareFolder> share_folder();

/// Where the manual's site stands: beside the patterns that came with the program, or where `./dev manual` makes it. It
/// need not be there.
std::filesystem::path manual_folder(const ShareFolder& share);

/// A person's own patterns, catalogues and shed: garthwright in $XDG_DATA_HOME, or in ~/.local/share (XDG Base
/// Directory Specification 0.8). It need not be there.
std::filesystem::path own_folder();

/// The program's own file.
std::filesystem::path program_file();

}  // namespace garthwright::cli
