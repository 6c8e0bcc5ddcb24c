// SPDX-License-Identifier: Apache-2.0
//
// The words of the command line. Keeps the option parser out of the commands' files: they say here what they take, and
// what is to be done when they were given.
#pragma once

#include <functional>
#include <memory>
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

class CommandLine {
 public:
  CommandLine(const std::string& about, const std::string& note, const std::string& version);
  ~CommandLine();

  Command add(const std::string& name, const std::string& help);
  /// Reads the words and runs the command that was given. Prints help and version itself; words that are not understood
  /// go to stderr with the near ones (kWrongInput).
  int run(int argc, char** argv);

 private:
  std::unique_ptr<Command::Parser> parser_;
};

}  // namespace garthwright::cli
