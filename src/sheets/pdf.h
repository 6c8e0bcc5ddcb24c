// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "sheets/sheet.h"

namespace garthwright::sheets {

struct PdfInfo {
  std::string title;
  std::string date;  ///< ISO 8601 day for the file's own record; no clock is read, so none is kept when it is empty
};

/// The sheets as one PDF, a page each at its true size, fonts embedded as subsets, with an outline of the sheets,
/// the language of its words, a wish that no printer scales it, and words to be read out in place of each drawing.
/// The same sheets give the same bytes.
std::string pdf_bytes(const std::vector<Sheet>& sheets, const PdfInfo& info);

}  // namespace garthwright::sheets
