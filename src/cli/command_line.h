// SPDX-License-Identifier: Apache-2.0
//
// The words of the command line. Keeps the option parser out of the commands' files: they say here what they take, and
// what is to be done when they were given.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace garthwright::cli {

/// Exit statuses, the same for every command.
enum Status {
  kDone = 0,           ///< all is well
  kCheckFails = 1,     ///< done, but some check fails
  kWrongInput = 2,     ///< the input is wrong; nothing was written
  kMachineFailed = 3,  ///< the machine failed: disk full, no permission, no port
};

/// One command while it is being declared. What is read goes into variables that must live as long as the run.
class Command {
 public:
  void argument(const std::string& name, std::string& into, const std::string& help, bool required = true);
  /// All words that are left, none or more.
  void arguments(const std::string& name, std::vector<std::string>& into, const std::string& help);
  /// Any word but an empty one.
  void option(const std::string& name, const std::string& takes, std::string& into, const std::string& help);
  /// A number from 0 to `most`.
  void number(const std::string& name, const std::string& takes, double& into, double most, const std::string& help);
  /// A whole number from 0 to `most`.
  void whole(const std::string& name, const std::string& takes, double& into, double most, const std::string& help);
  void flag(const std::string& name, bool& into, const std::string& help);
  /// Stands below the options in --help.
  void note(const std::string& text);
  void runs(std::function<Status()> run);

 private:
  friend class CommandLine;
  struct Parser;
  Command(Parser& parser, void* app) : parser_(parser), app_(app) {}
  Parser& parser_;
  void* app_;
};

/// What the command line says of itself: its --help, its manual page and its completions are all made of this.
struct OptionWords {
  std::string name;   ///< "--out"
  std::string takes;  ///< "DIR"; empty for a flag
  std::string help;
};
struct ArgumentWords {
  std::string name, help;
  bool required = false, many = false;
};
struct CommandWords {
  std::string name, help, note;
  std::vector<ArgumentWords> arguments;
  std::vector<OptionWords> options;
};
struct ProgramWords {
  std::string about, note;
  std::vector<OptionWords> options;  ///< that every command takes
  std::vector<CommandWords> commands;
};

class CommandLine {
 public:
  CommandLine(const std::string& about, const std::string& note, const std::string& version);
  ~CommandLine();

  /// Options that may stand before or after the command.
  void flag_of_all(const std::string& name, bool& into, const std::string& help);
  void choice_of_all(const std::string& name, const std::string& takes, std::string& into,
                     const std::vector<std::string>& words, const std::string& help);

  ProgramWords described() const;
  /// What --help prints, of a command or, without a name, of all; none when there is no such command.
  std::optional<std::string> help(const std::string& command) const;

  Command add(const std::string& name, const std::string& help);
  /// Reads the words and runs the command that was given. Prints help and version itself; words that are not understood
  /// are told to `refused` with the near ones (kWrongInput).
  int run(int argc, char** argv, const std::function<void(const std::string& what, const std::string& cure)>& refused);

 private:
  std::unique_ptr<Command::Parser> parser_;
};

}  // namespace garthwright::cli
