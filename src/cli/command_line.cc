// SPDX-License-Identifier: Apache-2.0
#include "cli/command_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <cmath>
#include <cstdio>

#include "base/near.h"
#include "base/plain_text.h"
#include "base/quoted.h"

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

void Command::option(const std::string& name, const std::string& takes, std::string& into, const std::string& help) {
  as_app(app_).add_option(name, into, help)->type_name(takes);
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
  app.set_version_flag("--version", version);
  app.require_subcommand(1);
  app.get_formatter()->column_width(28);
}

CommandLine::~CommandLine() = default;

Command CommandLine::add(const std::string& name, const std::string& help) {
  return {*parser_, parser_->app.add_subcommand(name, help)};
}

/// The command of that name, or none.
static CLI::App* find_command(CLI::App& app, const std::string& name) {
  for (CLI::App* command : app.get_subcommands([](CLI::App*) { return true; }))
    if (command->get_name() == name) return command;
  return nullptr;
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
  for (const CLI::Option* option : command->get_options())
    for (const std::string& name : option->get_lnames()) options.push_back("--" + name);
  for (const std::string& word : command->remaining())
    if (word.starts_with("-")) return "there is no option " + garthwright::quoted(word) + "; " + suggest(word, options);
  return error.what();
}

int CommandLine::run(int argc, char** argv) {
  CLI::App& app = parser_->app;
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& asked) {  // --help, --version
    return app.exit(asked);
  } catch (const CLI::ParseError& error) {
    const CLI::App* command = argc > 1 ? find_command(app, argv[1]) : nullptr;
    std::fprintf(stderr, "garthwright: error: %s\nTry: garthwright %s--help\n",
                 for_terminal(explain(app, error, argc, argv)).c_str(),
                 command != nullptr ? (command->get_name() + " ").c_str() : "");
    return kWrongInput;
  }
  return parser_->chosen();
}

}  // namespace garthwright::cli
