// SPDX-License-Identifier: Apache-2.0
#include "cli/command.h"
#include "server/embedded.h"

namespace garthwright::cli {

void add_licences(CommandLine& words) {
  Command command = words.add("licences", "Print whose works are part of this program, and the licences of all");
  command.runs([] { return write_out(std::string(server::licence_notices())); });
}

}  // namespace garthwright::cli
