// SPDX-License-Identifier: Apache-2.0
#include "cli/shed_file.h"

#include <cstdlib>
#include <filesystem>

#include "cli/command.h"

namespace garthwright::cli {

using shed::Item;
using shed::Kind;

static const char* environment(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : nullptr;
}

std::string shed_file(const std::string& named) {
  if (!named.empty()) return named;
  if (const char* given = environment("GARTHWRIGHT_SHED")) return given;
  std::filesystem::path data = ".";
  if (const char* folder = environment("XDG_DATA_HOME"))
    data = folder;
  else if (const char* home = environment("HOME"))
    data = std::filesystem::path(home) / ".local" / "share";
  return (data / "garthwright" / "shed.db").string();
}

buying::OnHand on_hand(const std::vector<Item>& items) {
  buying::OnHand on_hand;
  for (const Item& item : items) {
    if (item.kind == Kind::off_cut)
      on_hand.off_cuts.push_back({item.name, item.length_mm, item.quantity});
    else
      on_hand.fixings.push_back({item.name, item.quantity});
  }
  return on_hand;
}

std::vector<Item> items(const buying::OnHand& on_hand) {
  std::vector<Item> items;
  for (const buying::OffCut& off_cut : on_hand.off_cuts)
    items.push_back({Kind::off_cut, off_cut.section, off_cut.length_mm, off_cut.quantity});
  for (const buying::SpareFixing& fixing : on_hand.fixings)
    items.push_back({Kind::fixing, fixing.item, 0, fixing.quantity});
  return items;
}

Status shed_trouble(const Diagnostics& reasons) {
  print(reasons);
  return !reasons.empty() && reasons.front().code == "shed-failed" ? kMachineFailed : kWrongInput;
}

}  // namespace garthwright::cli
