// SPDX-License-Identifier: Apache-2.0
//
// A call of a verb by a pattern: what it was given, read by name. A verb lists the names it knows and what each takes;
// anything else is refused with the pattern's line before the verb begins.
#pragma once

#include <array>
#include <lua.hpp>
#include <optional>
#include <string>
#include <vector>

#include "pattern/choices.h"
#include "pattern/handles.h"
#include "pattern/lua_box.h"
#include "structure/way.h"

namespace garthwright::pattern {

/// What a named value must be.
enum class Takes { length, lengths, number, text, texts, yes_no, way, body, bodies, place, section, profile };

struct Name {
  const char* name;
  Takes takes;
};
using Names = std::vector<Name>;
Names operator+(Names a, const Names& b);

class Call;

/// One verb: what it does, how many things it is called with, and which of them is the table of named values (0: none).
struct Verb {
  const char* name;
  int (*run)(Call&);
  int fewest, most;
  int table = 0;
  Names names = {};
};

class Call {
 public:
  /// Checks the count of things and every named value.
  Call(lua_State* lua, const Verb& verb);

  lua_State* lua() const { return lua_; }
  Structure& structure() const { return *bench(lua_).structure; }
  Bench& bench_() const { return bench(lua_); }
  const char* verb_name() const { return verb_.name; }
  LuaBox& box() const { return LuaBox::of(lua_); }
  [[noreturn]] void wrong(const std::string& what, const std::string& cure = {}) const;

  // ---- by their number --------------------------------------------------------------------------------------------
  Body body_at(int index, const char* what) const;
  PieceId piece_at(int index, const char* what) const;
  std::vector<Body> bodies_at(int index, const char* what) const;
  std::string text_at(int index, const char* what) const;
  std::string text_at(int index, const char* what, const char* otherwise) const;

  // ---- by their name ----------------------------------------------------------------------------------------------
  bool has(const char* name) const;
  std::string text(const char* name, const char* otherwise = nullptr) const;
  std::vector<std::string> texts(const char* name, const char* otherwise) const;
  /// One of these words, as its number.
  int word(const char* name, const std::string& given, const std::vector<std::string>& known) const;
  Traced length(const char* name) const;
  Traced length(const char* name, const Traced& otherwise) const { return has(name) ? length(name) : otherwise; }
  double mm(const char* name, double otherwise) const { return has(name) ? length(name).value() : otherwise; }
  std::vector<double> lengths(const char* name) const;
  double number(const char* name, double otherwise, double least, double most) const;
  int whole(const char* name, int otherwise, int least, int most) const;
  bool flag(const char* name) const;
  Way way(const char* name, std::optional<Way> otherwise = {}) const;
  Body body(const char* name) const;
  std::vector<Body> bodies(const char* name) const;
  /// NAME = { x = …, y = …, z = … }; what is not given is 0.
  std::array<Traced, 3> place(const char* name) const;
  std::array<Traced, 3> low() const { return place("at"); }
  /// As a choice gave it, or by its trade name.
  SectionInHand section(const char* name = "section") const;
  const Profile& profile(const char* name) const;

  // ---- what it gives ----------------------------------------------------------------------------------------------
  int give(Body body) const;
  int give(const std::vector<Body>& bodies) const;
  template <class T>
  T done(Result<T> result) const {
    if (!result) raise(lua_, result.error());
    if constexpr (!std::is_void_v<T>) return *std::move(result);
  }

 private:
  void check_names() const;
  /// Pushes the value; nil where the table or the name is not there.
  int push(const char* name) const;
  std::string called(const char* name) const;

  lua_State* lua_;
  const Verb& verb_;
  int table_;  ///< its place on the stack, 0 where it was left out
};

}  // namespace garthwright::pattern
