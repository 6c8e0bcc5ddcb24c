// SPDX-License-Identifier: Apache-2.0
#include <memory>

#include "base/near.h"
#include "base/quoted.h"
#include "cli/command.h"
#include "cli/told_forms.h"
#include "cli/version.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::string command, form;
};

Status help(const CommandLine& words, const Given& given) {
  if (given.form == "man") return write_out(man_page(words.described(), version(), day()));
  if (given.form == "bash") return write_out(bash_completion(words.described()));
  if (given.form == "zsh") return write_out(zsh_completion(words.described()));
  if (given.form == "fish") return write_out(fish_completion(words.described()));
  static const std::vector<std::string> kForms{"man", "bash", "zsh", "fish"};
  if (!given.form.empty())
    return wrong(
        fail("unknown-form", "there is no form " + garthwright::quoted(given.form), suggest(given.form, kForms))
            .value());
  if (const std::optional<std::string> text = words.help(given.command)) return write_out(*text);
  std::vector<std::string> known;
  for (const CommandWords& one : words.described().commands) known.push_back(one.name);
  return wrong(fail("unknown-command", "there is no command " + garthwright::quoted(given.command),
                    suggest(given.command, known))
                   .value());
}

}  // namespace

void add_help(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("help", "Explain a command, or name them all");
  command.argument("COMMAND", given->command, "the command to explain", false);
  command.option("--as", "FORM", given->form,
                 "everything, as a manual page (man) or as completions for a shell (bash, zsh, fish)");
  command.runs([given, &words] { return help(words, *given); });
}

void add_version(CommandLine& words) {
  Command command = words.add("version", "Print the version");
  command.runs([] { return write_out(std::string("garthwright ") + version() + "\n"); });
}

}  // namespace garthwright::cli
