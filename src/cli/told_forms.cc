// SPDX-License-Identifier: Apache-2.0
#include "cli/told_forms.h"

#include <fmt/format.h>

#include <algorithm>

namespace garthwright::cli {
namespace {

/// The last of its names: "-V, --version" is "--version".
std::string long_name(const OptionWords& option) {
  const std::size_t at = option.name.rfind("--");
  return at == std::string::npos ? option.name : option.name.substr(at);
}

std::vector<std::string> all_names(const OptionWords& option) {
  std::vector<std::string> names;
  for (std::size_t from = 0; from < option.name.size();) {
    const std::size_t comma = std::min(option.name.find(", ", from), option.name.size());
    names.push_back(option.name.substr(from, comma - from));
    from = comma + 2;
  }
  return names;
}

/// Whether what an option or argument takes is a file's or folder's name.
bool takes_file(const std::string& takes) {
  static const std::vector<std::string> kFiles{"FILE", "DIR", "JOB", "LIST", "FRAME", "CASES"};
  return std::find(kFiles.begin(), kFiles.end(), takes) != kFiles.end();
}

bool names_commands(const CommandWords& command) {
  return !command.arguments.empty() && command.arguments.front().name == "COMMAND";
}

std::string joined_names(const ProgramWords& words) {
  std::string names;
  for (const CommandWords& command : words.commands) names += (names.empty() ? "" : " ") + command.name;
  return names;
}

std::string joined_options(const std::vector<OptionWords>& options) {
  std::string names;
  for (const OptionWords& option : options) names += " " + long_name(option);
  return names;
}

std::string replaced(const std::string& text, char what, const std::string& by) {
  std::string out;
  for (const char c : text) out += c == what ? by : std::string(1, c);
  return out;
}

// ---- man(7) ---------------------------------------------------------------------------------------------------------

/// Hyphens are hyphens, not breaks; a line does not begin with a control character.
std::string roff(const std::string& text) {
  std::string out;
  bool line_begins = true;
  for (const char c : text) {
    if (line_begins && (c == '.' || c == '\'')) out += "\\&";
    line_begins = c == '\n';
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

/// Notes are laid out by hand and stay as they are.
std::string as_it_stands(const std::string& text) { return text.empty() ? "" : ".PP\n.nf\n" + roff(text) + "\n.fi\n"; }

std::string man_options(const std::vector<OptionWords>& options) {
  std::string text;
  for (const OptionWords& option : options) {
    text += fmt::format(".TP\n\\fB{}\\fR{}\n{}\n", roff(option.name),
                        option.takes.empty() ? "" : " \\fI" + roff(option.takes) + "\\fR", roff(option.help));
  }
  return text;
}

std::string synopsis(const CommandWords& command) {
  std::string text = command.name;
  for (const ArgumentWords& argument : command.arguments) {
    const std::string name = argument.name + (argument.many ? " ..." : "");
    text += argument.required ? " " + name : " [" + name + "]";
  }
  return text;
}

// ---- shells ---------------------------------------------------------------------------------------------------------

std::string single_quoted(const std::string& text) { return "'" + replaced(text, '\'', "'\\''") + "'"; }

}  // namespace

std::string man_page(const ProgramWords& words, const std::string& version, const std::string& day) {
  std::string text = fmt::format(
      ".\\\" Made by the program itself: garthwright help --as man\n"
      ".TH GARTHWRIGHT 1 \"{}\" \"garthwright {}\" \"User Commands\"\n"
      ".SH NAME\ngarthwright \\- planner for timber garden structures\n"
      ".SH SYNOPSIS\n.B garthwright\n[\\fIOPTION\\fR]... \\fICOMMAND\\fR [\\fIARGUMENT\\fR]...\n"
      ".SH DESCRIPTION\n{}\n{}.SH OPTIONS\nThese may stand before or after any command.\n{}.SH COMMANDS\n",
      day, roff(version), roff(words.about), as_it_stands(words.note), man_options(words.options));
  for (const CommandWords& command : words.commands) {
    text += fmt::format(".SS \"{}\"\n{}.\n", roff(synopsis(command)), roff(command.help));
    for (const ArgumentWords& argument : command.arguments)
      text += fmt::format(".TP\n\\fI{}\\fR\n{}\n", roff(argument.name), roff(argument.help));
    std::vector<OptionWords> own = command.options;
    std::erase_if(own, [](const OptionWords& option) { return long_name(option) == "--help"; });
    text += man_options(own) + as_it_stands(command.note);
  }
  text +=
      ".SH ENVIRONMENT\n"
      ".TP\n\\fBGARTHWRIGHT_SHARE\\fR\nfolder of the patterns and catalogues that come with the program\n"
      ".TP\n\\fBGARTHWRIGHT_SHED\\fR\nfile of the shed\n"
      ".TP\n\\fBXDG_DATA_HOME\\fR\nfolder that holds a person's own garthwright/patterns, garthwright/catalogues and "
      "garthwright/shed.db; else ~/.local/share\n";
  return text;
}

std::string bash_completion(const ProgramWords& words) {
  std::string cases;
  for (const CommandWords& command : words.commands) {
    const std::string more = names_commands(command) ? " " + joined_names(words) : "";
    cases += fmt::format("    {}) words=\"{}{}\" ;;\n", command.name, joined_options(command.options).substr(1), more);
  }
  return fmt::format(
      "# bash completion for garthwright; made by the program itself: garthwright help --as bash\n"
      "_garthwright() {{\n"
      "  local word=${{COMP_WORDS[COMP_CWORD]}} command= words i\n"
      "  for ((i = 1; i < COMP_CWORD; i++)); do\n"
      "    case ${{COMP_WORDS[i]}} in -*) ;; *) command=${{COMP_WORDS[i]}}; break ;; esac\n"
      "  done\n"
      "  case $command in\n"
      "    '') words=\"{} {}\" ;;\n{}"
      "  esac\n"
      "  [ -z \"$command\" ] || words+=\"{}\"\n"
      "  mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n"
      "  if [ -n \"$command\" ] && [[ $word != -* ]]; then\n"
      "    mapfile -t -O \"${{#COMPREPLY[@]}}\" COMPREPLY < <(compgen -f -- \"$word\")\n"
      "    compopt -o filenames\n"
      "  fi\n"
      "}}\n"
      "complete -F _garthwright garthwright\n",
      joined_names(words), joined_options(words.options).substr(1), cases, joined_options(words.options));
}

std::string zsh_completion(const ProgramWords& words) {
  const auto specs = [](const std::vector<OptionWords>& options) {
    std::string text;
    for (const OptionWords& option : options) {
      const std::string help = replaced(replaced(replaced(option.help, '[', "("), ']', ")"), ':', "\\:");
      const std::string takes =
          option.takes.empty() ? "" : fmt::format(":{}:{}", option.takes, takes_file(option.takes) ? "_files" : "");
      for (const std::string& name : all_names(option))
        text += " \\\n        " + single_quoted(fmt::format("{}[{}]{}", name, help, takes));
    }
    return text;
  };
  std::string names, cases;
  for (const CommandWords& command : words.commands) {
    names += " \\\n      " + single_quoted(command.name + ":" + replaced(command.help, ':', "\\:"));
    std::string rest;
    if (names_commands(command))
      rest = " \\\n        " + single_quoted("1:command:(" + joined_names(words) + ")");
    else if (!command.arguments.empty())
      rest = " \\\n        '*:file:_files'";
    cases += fmt::format("    {})\n      _arguments{}{}{}\n      ;;\n", command.name, specs(command.options),
                         specs(words.options), rest);
  }
  return fmt::format(
      "#compdef garthwright\n"
      "# Made by the program itself: garthwright help --as zsh\n"
      "local context state line\n"
      "_arguments -C{} \\\n        '1:command:->command' \\\n        '*::argument:->argument'\n"
      "case $state in\n"
      "  command)\n    local -a commands\n    commands=({})\n    _describe command commands\n    ;;\n"
      "  argument)\n    case $line[1] in\n{}    esac\n    ;;\n"
      "esac\n",
      specs(words.options), names, cases);
}

std::string fish_completion(const ProgramWords& words) {
  std::string text = "# Made by the program itself: garthwright help --as fish\n";
  const auto add = [&](const std::string& when, const OptionWords& option) {
    std::string names;
    for (const std::string& name : all_names(option))
      names += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    const std::string takes = option.takes.empty() ? "" : takes_file(option.takes) ? " -r -F" : " -x";
    text += fmt::format("complete -c garthwright{}{}{} -d {}\n", when, names, takes, single_quoted(option.help));
  };
  for (const OptionWords& option : words.options) add("", option);
  text += "complete -c garthwright -n __fish_use_subcommand -f\n";
  for (const CommandWords& command : words.commands) {
    text += fmt::format("complete -c garthwright -n __fish_use_subcommand -a {} -d {}\n", command.name,
                        single_quoted(command.help));
    const std::string when = fmt::format(" -n '__fish_seen_subcommand_from {}'", command.name);
    for (const OptionWords& option : command.options)
      if (long_name(option) != "--help") add(when, option);
    if (names_commands(command))
      text += fmt::format("complete -c garthwright{} -f -a {}\n", when, single_quoted(joined_names(words)));
  }
  return text;
}

}  // namespace garthwright::cli
