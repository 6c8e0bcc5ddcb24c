// SPDX-License-Identifier: Apache-2.0
#include "cli/command_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <sstream>

#include "base/near.h"
#include "base/plain_text.h"
#include "base/quoted.h"
#include "cli/command.h"

namespace garthwright::cli {

struct Command::Parser {
  CLI::App app;
  std::function<Status()> chosen;
};

static CLI::App& as_app(void* app) { return *static_cast<CLI::App*>(app); }

void Command::argument(const std::string& name, std::string& into, const std::string& help, bool required) {
  as_app(app_).add_option(name, into, help)->required(required)->type_name("");
}

void Command::arguments(const std::string& name, std::vector<std::string>& into, const std::string& help) {
  as_app(app_).add_option(name, into, help)->type_name("");
}

/// An empty word is most likely a variable of a script that was never set: taken for "not given", the program would do
/// something else than it was told to.
void Command::option(const std::string& name, const std::string& takes, std::string& into, const std::string& help) {
  as_app(app_).add_option(name, into, help)->type_name(takes)->check([name, takes](const std::string& word) {
    return word.empty() ? fmt::format("{} is empty; give {}, or leave {} out", name, takes, name) : std::string();
  });
}

/// Not a number is neither below nor above a limit, and would pass the parser's own check of a range.
static std::function<std::string(const std::string&)> within(const std::string& name, double most, bool whole) {
  return [name, most, whole](const std::string& word) -> std::string {
    double value = 0;
    const auto [end, trouble] = std::from_chars(word.data(), word.data() + word.size(), value);
    const bool right = trouble == std::errc() && end == word.data() + word.size() && value >= 0 && value <= most &&
                       (!whole || value == std::floor(value));
    if (right) return "";
    return fmt::format("{} is {}; give a {}number from 0 to {:.15g}", name, garthwright::quoted(word),
                       whole ? "whole " : "", most);
  };
}

void Command::number(const std::string& name, const std::string& takes, double& into, double most,
                     const std::string& help) {
  as_app(app_).add_option(name, into, help)->check(within(name, most, false))->type_name(takes);
}

void Command::whole(const std::string& name, const std::string& takes, double& into, double most,
                    const std::string& help) {
  as_app(app_).add_option(name, into, help)->check(within(name, most, true))->type_name(takes);
}

void Command::flag(const std::string& name, bool& into, const std::string& help) {
  as_app(app_).add_flag(name, into, help);
}

void Command::note(const std::string& text) { as_app(app_).footer(text); }

void Command::runs(std::function<Status()> run) {
  as_app(app_).callback([this_parser = &parser_, run] { this_parser->chosen = run; });
}

CommandLine::CommandLine(const std::string& about, const std::string& note, const std::string& version)
    : parser_(std::make_unique<Command::Parser>()) {
  CLI::App& app = parser_->app;
  app.description(about);
  app.name("garthwright");
  app.footer(note);
  app.set_version_flag("--version,-V", version);
  app.require_subcommand(1);
  app.get_formatter()->column_width(28);
}

CommandLine::~CommandLine() = default;

void CommandLine::flag_of_all(const std::string& name, bool& into, const std::string& help) {
  parser_->app.add_flag(name, into, help);
}

void CommandLine::choice_of_all(const std::string& name, const std::string& takes, std::string& into,
                                const std::vector<std::string>& words, const std::string& help) {
  parser_->app.add_option(name, into, help)->type_name(takes)->check([name, words](const std::string& word) {
    if (std::find(words.begin(), words.end(), word) != words.end()) return std::string();
    return fmt::format("{} is {}; {}", name, garthwright::quoted(word), suggest(word, words));
  });
}

Command CommandLine::add(const std::string& name, const std::string& help) {
  CLI::App* command = parser_->app.add_subcommand(name, help);
  command->fallthrough();  // what all commands take may stand behind them too
  return {*parser_, command};
}

static std::vector<OptionWords> options_of(const CLI::App& app) {
  std::vector<OptionWords> all;
  for (const CLI::Option* option : app.get_options()) {
    if (option->get_positional()) continue;
    std::string name;
    for (const std::string& one : option->get_snames()) name += (name.empty() ? "-" : ", -") + one;
    for (const std::string& one : option->get_lnames()) name += (name.empty() ? "--" : ", --") + one;
    all.push_back({name, option->get_expected_max() == 0 ? "" : option->get_type_name(), option->get_description()});
  }
  return all;
}

ProgramWords CommandLine::described() const {
  const CLI::App& app = parser_->app;
  ProgramWords all{app.get_description(), app.get_footer(), options_of(app), {}};
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    CommandWords words{command->get_name(), command->get_description(), command->get_footer(), {}, {}};
    for (const CLI::Option* option : command->get_options())
      if (option->get_positional())
        words.arguments.push_back(
            {option->get_name(), option->get_description(), option->get_required(), option->get_expected_max() > 1});
    words.options = options_of(*command);
    all.commands.push_back(std::move(words));
  }
  return all;
}

/// The command of that name, or none.
static CLI::App* find_command(CLI::App& app, const std::string& name) {
  for (CLI::App* command : app.get_subcommands([](CLI::App*) { return true; }))
    if (command->get_name() == name) return command;
  return nullptr;
}

std::optional<std::string> CommandLine::help(const std::string& command) const {
  // Asked for its own help, the parser would give that of the command that was chosen: `help` itself.
  const CLI::App& app = parser_->app;
  if (command.empty()) return app.get_formatter()->make_help(&app, app.get_name(), CLI::AppFormatMode::Normal);
  const CLI::App* found = find_command(parser_->app, command);
  return found == nullptr ? std::nullopt : std::optional(found->help(app.get_name()));
}

/// The parser says only that a word was not expected; a misspelt command or option deserves better.
static std::string explain(CLI::App& app, const CLI::ParseError& error, int argc, char** argv) {
  std::vector<std::string> commands, options;
  for (const CLI::App* command : app.get_subcommands([](CLI::App*) { return true; }))
    commands.push_back(command->get_name());
  const std::string first = argc > 1 ? argv[1] : "";
  if (first.empty()) return "a command is missing; " + suggest("", commands);
  CLI::App* command = find_command(app, first);
  if (command == nullptr && first.front() != '-')
    return "there is no command " + garthwright::quoted(first) + "; " + suggest(first, commands);
  if (command == nullptr) command = &app;
  for (const CLI::App* of : {command, &app})
    for (const CLI::Option* option : of->get_options())
      for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
  for (const std::string& word : app.remaining(true))
    if (word.starts_with("-")) return "there is no option " + garthwright::quoted(word) + "; " + suggest(word, options);
  return error.what();
}

int CommandLine::run(int argc, char** argv,
                     const std::function<void(const std::string& what, const std::string& cure)>& refused) {
  CLI::App& app = parser_->app;
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& asked) {  // --help, --version
    std::ostringstream words, none;
    app.exit(asked, words, none);
    return write_out(words.str());
  } catch (const CLI::ParseError& error) {
    const CLI::App* command = argc > 1 ? find_command(app, argv[1]) : nullptr;
    refused(explain(app, error, argc, argv),
            fmt::format("garthwright {}--help", command != nullptr ? command->get_name() + " " : ""));
    return kWrongInput;
  }
  return parser_->chosen();
}

}  // namespace garthwright::cli
