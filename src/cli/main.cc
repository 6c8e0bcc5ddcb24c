// SPDX-License-Identifier: Apache-2.0
#include <csignal>
#include <cstdio>
#include <exception>
#include <new>
#include <string_view>

#include "base/plain_text.h"
#include "cli/command.h"
#include "cli/version.h"

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

using namespace garthwright::cli;

/// Words that were not understood are told before any option is read: --errors json is looked for by hand.
static void refused(int argc, char** argv, const std::string& what, const std::string& cure) {
  for (int i = 1; i < argc; ++i) {
    const std::string_view word = argv[i], next = i + 1 < argc ? argv[i + 1] : "";
    if (word == "--errors=json" || (word == "--errors" && next == "json")) voice().errors = "json";
  }
  if (voice().errors == "json")
    print({{garthwright::Severity::error, "bad-words", what, cure, {}}});
  else
    std::fprintf(stderr, "garthwright: error: %s\nTry: %s\n", garthwright::for_terminal(what).c_str(), cure.c_str());
}

static int run(int argc, char** argv) {
  CommandLine words(kAbout, kNote, std::string("garthwright ") + version());
  words.flag_of_all("--quiet", voice().quiet, "say nothing but errors and what was asked for");
  words.choice_of_all("--errors", "FORM", voice().errors, {"text", "json"},
                      "how remarks and errors are printed: text (a line each) or json (docs/openapi.json, Problem)");
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
  add_doctor(words);
  add_licences(words);
  add_help(words);
  add_version(words);
  const int status =
      words.run(argc, argv, [&](const std::string& what, const std::string& cure) { refused(argc, argv, what, cure); });
  tell_the_rest();
  return status;
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
  return kMachineFailed;
}
