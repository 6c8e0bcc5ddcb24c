// SPDX-License-Identifier: Apache-2.0
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>

#include "cli/command.h"

static const char* const kAbout =
    "Plans timber garden structures: cut lengths, machining, purchase, marking out, sheets.";

static const char* const kNote =
    "Start with:\n"
    "  garthwright patterns                      what can be built\n"
    "  garthwright new arbor --save garden.toml  a job file to fill in\n"
    "  garthwright plan garden.toml              its sheets and files, in out/garden\n"
    "  garthwright serve garden.toml             the same, live in a browser\n"
    "\n"
    "Exit status: 0 done; 1 done, but some check fails; 2 the input is wrong, nothing was written;\n"
    "3 the machine failed (disk full, no permission).\n"
    "Results are an aid to people who build: check sizes on site before you cut, and have a competent\n"
    "person check what must carry people.";

static int run(int argc, char** argv) {
  using namespace garthwright::cli;
  CommandLine words(kAbout, kNote, "garthwright " GARTHWRIGHT_VERSION);
  add_new(words);
  add_check(words);
  add_plan(words);
  add_why(words);
  add_shed(words);
  add_thrift(words);
  add_decide(words);
  add_patterns(words);
  add_buy(words);
  add_forces(words);
  add_frame(words);
  add_order(words);
  add_serve(words);
  return words.run(argc, argv);
}

int main(int argc, char** argv) {
  std::signal(SIGXFSZ, SIG_IGN);  // a file over the allowed size is then an error to tell, not a sudden end
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("garthwright: error: out of memory\n", stderr);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "garthwright: a fault in the program: %s\n", error.what());
  }
  return garthwright::cli::kMachineFailed;
}
