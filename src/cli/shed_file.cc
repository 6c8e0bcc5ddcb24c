// SPDX-License-Identifier: Apache-2.0
#include "cli/shed_file.h"

#include <cstdlib>
#include <filesystem>

#include "base/quoted.h"
#include "cli/command.h"
#include "cli/folders.h"

namespace garthwright::cli {

using shed::Item;
using shed::Kind;

static const char* environment(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : nullptr;
}

static std::string usual_file() { return (own_folder() / "shed.db").string(); }

Result<shed::Shed> open_shed(const std::string& named) {
  const char* given = environment("GARTHWRIGHT_SHED");
  const std::string file = !named.empty() ? named : given ? given : "";
  if (file.empty()) return shed::Shed::open(usual_file());
  const std::filesystem::path folder = std::filesystem::path(file).parent_path();
  std::error_code none;
  if (!folder.empty() && !std::filesystem::is_directory(folder, none))
    return fail("no-shed", "there is no folder " + garthwright::quoted(folder.string(), 200),
                "see how the path is written, or make the folder", {file, 0, 0, {}});
  return shed::Shed::open(file);
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
