// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <lua.hpp>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "base/diagnostic.h"

namespace garthwright::pattern {

/// What a pattern may spend: one budget for all it has made, inside Lua and beyond it. Far beyond any honest pattern,
/// small enough that a runaway one is stopped in a second. docs/patterns.md has the same figures.
struct Limits {
  std::size_t memory_bytes = std::size_t{32} << 20;        ///< of Lua, at one time
  std::uint64_t allocated_bytes = std::uint64_t{1} << 30;  ///< of Lua, in the whole run
  std::int64_t steps = 20'000'000;    ///< Lua's; a call of a verb counts for 200 of them, a thing it is given for 20,
                                      ///< a fixing in the timbers that another is set in for 2
  std::int64_t traced = 1'000'000;    ///< quantities and terms in all lengths together
  std::int64_t bodies = 5'000;        ///< timbers and panels
  std::int64_t parts = 50'000;        ///< joints, fixings, holes, cuts, assemblies with what they hold, remarks
  std::int64_t text_bytes = 1 << 20;  ///< of names, notes, formulas and remarks
  double seconds = 10;                ///< an emergency brake only; the counts above decide first
};

/// What is counted.
enum class Good { steps, traced, bodies, parts, text };

constexpr std::int64_t kStepsOfAVerb = 200, kStepsOfAThing = 20, kStepsOfAFixing = 2;
constexpr std::size_t kLongestText = 1000;  ///< bytes of one name, note, formula or remark

/// A Lua 5.4 state that a stranger's pattern may run in. It holds arithmetic, tables and plain text, and nothing that
/// reaches files, the machine, the clock or other code; it cannot catch its own errors, so a limit once hit ends the
/// run. Tables are walked by `pairs` in sorted order, so that the same pattern always builds the same structure.
/// Writing a global that the pattern did not declare `local`, or reading one that is not there, is an error.
class LuaBox {
 public:
  explicit LuaBox(Limits limits = {});
  ~LuaBox();
  LuaBox(const LuaBox&) = delete;
  LuaBox& operator=(const LuaBox&) = delete;

  lua_State* state() const { return lua_; }

  /// Makes `name` a global function. Call before `seal`.
  void add(const char* name, lua_CFunction function);
  /// From here on unknown globals are errors.
  void seal();

  /// Runs `work` in a protected call; an error becomes a diagnostic with the pattern's file and line.
  Result<void> guarded(const std::function<void(lua_State*)>& work);

  /// Takes so much from the budget; ends the running verb with the pattern's error when there is no more.
  void spend(Good good, std::int64_t count);
  /// Ends the running verb when the time is up. Asked for while Lua runs, and at each verb; most of these looks are
  /// left out, since the thread's own clock is a call of the system.
  void look_at_clock();

  /// The diagnostic that a verb wants to give instead of a plain message; picked up by `guarded`.
  std::optional<Diagnostic> pending;
  /// What the verbs work on; set by whoever runs a pattern.
  void* context = nullptr;

  static LuaBox& of(lua_State* lua);

 private:
  static void* allocate(void* box, void* block, std::size_t old_size, std::size_t new_size);
  static void count(lua_State* lua, lua_Debug*);

  Limits limits_;
  std::size_t used_ = 0;
  std::uint64_t allocated_ = 0;
  int looks_ = 0;  ///< at the clock that were asked for
  double began_;   ///< s of this thread's processor time: a busy machine refuses nothing
  std::array<std::int64_t, 5> spent_{};
  int times_full_ = 0;
  Place stopped_at_;  ///< the pattern's line where memory ended
  lua_State* lua_ = nullptr;
};

/// The pattern's line that runs now; no line outside any.
Place running_line(lua_State* lua);

/// The text at `index`: valid, on one line, of at most kLongestText bytes; else the pattern's error. Counts its bytes.
std::string to_text(lua_State* lua, int index, const char* what);

/// Ends the running verb with this diagnostic, placed at the pattern's current line unless it has a place of its own.
[[noreturn]] void raise(lua_State* lua, Diagnostic diagnostic);
[[noreturn]] void raise(lua_State* lua, const Diagnostics& diagnostics);

}  // namespace garthwright::pattern
