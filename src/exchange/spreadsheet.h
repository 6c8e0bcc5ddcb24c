// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "plan/plan.h"

namespace garthwright::exchange {

/// A workbook (Office Open XML, ISO/IEC 29500) with a sheet each of pieces, purchase, holes and checks: numbers as
/// numbers, lengths in mm, money in major units. The same plan gives the same bytes. Fails with "cannot-write" where
/// the system's folder for temporary files takes none: the library makes a workbook through files.
Result<std::string> spreadsheet_bytes(const Plan& plan);

}  // namespace garthwright::exchange
