// SPDX-License-Identifier: Apache-2.0
//
// Where the shed is kept, and how a plan and the shed speak of the same things.
#pragma once

#include <string>
#include <vector>

#include "buying/buying.h"
#include "cli/command_line.h"
#include "shed/shed.h"

namespace garthwright::cli {

/// Opens the file named; else $GARTHWRIGHT_SHED; else garthwright/shed.db in $XDG_DATA_HOME or ~/.local/share, made
/// when missing. A folder is made for the last alone: a path that a person wrote into no folder was mistyped
/// ("no-shed").
Result<shed::Shed> open_shed(const std::string& named);

buying::OnHand on_hand(const std::vector<shed::Item>& items);
std::vector<shed::Item> items(const buying::OnHand& on_hand);

/// Prints the reasons; kMachineFailed when the disk or another program was at fault, else kWrongInput.
Status shed_trouble(const Diagnostics& reasons);

}  // namespace garthwright::cli
