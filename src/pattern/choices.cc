// SPDX-License-Identifier: Apache-2.0
#include "pattern/choices.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "base/near.h"
#include "pattern/handles.h"
#include "pattern/lengths.h"
#include "pattern/lua_box.h"

namespace garthwright::pattern {
namespace {

constexpr std::array<std::string_view, 8> kUnitNames{"length", "count",   "number", "section",
                                                     "panel",  "profile", "option", "yes-no"};

std::string field_text(lua_State* lua, int index, const char* key) {
  lua_getfield(lua, index, key);
  std::string text = lua_type(lua, -1) == LUA_TSTRING ? to_text(lua, -1, key) : "";
  lua_pop(lua, 1);
  return text;
}

/// Names in a job file and in sums are the same, with spaces for underscores.
std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

ChoiceSpec read_choice(lua_State* lua, int index) {
  ChoiceSpec spec;
  spec.name = field_text(lua, index, "name");
  if (spec.name.empty()) luaL_error(lua, "a choice has no name");
  const std::string unit = field_text(lua, index, "unit");
  const auto known = std::find(kUnitNames.begin(), kUnitNames.end(), unit);
  if (known == kUnitNames.end())
    luaL_error(lua,
               "choice %s has unit \"%s\"; known are length, count, number, section, panel, profile, option, yes-no",
               spec.name.c_str(), unit.c_str());
  spec.unit = static_cast<Unit>(known - kUnitNames.begin());
  spec.group = field_text(lua, index, "group");
  spec.help = field_text(lua, index, "help");
  if (spec.help.empty()) luaL_error(lua, "choice %s has no help", spec.name.c_str());
  spec.role = field_text(lua, index, "role");
  if (spec.unit == Unit::length || spec.unit == Unit::count || spec.unit == Unit::number) {
    lua_getfield(lua, index, "least");
    spec.least = to_length(lua, -1, ("least of " + spec.name).c_str()).value();
    lua_getfield(lua, index, "most");
    spec.most = to_length(lua, -1, ("most of " + spec.name).c_str()).value();
    if (lua_getfield(lua, index, "step") != LUA_TNIL)
      spec.step = to_length(lua, -1, ("step of " + spec.name).c_str()).value();
    lua_pop(lua, 3);
  }
  if (spec.unit == Unit::option) {
    lua_getfield(lua, index, "options");
    luaL_argexpected(lua, lua_istable(lua, -1), index, "a list of options");
    for (lua_Integer i = 1; lua_rawgeti(lua, -1, i) != LUA_TNIL; ++i) {
      spec.options.push_back(to_text(lua, -1, "an option"));
      lua_pop(lua, 1);
    }
    lua_pop(lua, 2);
  }
  lua_getfield(lua, index, "default");
  spec.worked_out = lua_isfunction(lua, -1);
  if (lua_isboolean(lua, -1)) spec.default_text = lua_toboolean(lua, -1) ? "true" : "false";
  if (lua_type(lua, -1) == LUA_TSTRING || lua_type(lua, -1) == LUA_TNUMBER)
    spec.default_text = luaL_tolstring(lua, -1, nullptr);
  lua_settop(lua, index);
  lua_getfield(lua, index, "optional");
  spec.optional = lua_toboolean(lua, -1);
  lua_pop(lua, 1);
  return spec;
}

std::string print_amount(const ChoiceSpec& spec, double value, LengthStyle style) {
  return spec.unit == Unit::length ? format_length(value, style) : fmt::format("{:g}", value);
}

std::string print_range(const ChoiceSpec& spec, LengthStyle style) {
  return print_amount(spec, spec.least, style) + " to " + print_amount(spec, spec.most, style);
}

/// One value on its way from the job, or from a default, to the pattern.
class Answer {
 public:
  Answer(lua_State* lua, const ChoiceSpec& spec, Place where, std::string source)
      : lua_(lua), bench_(bench(lua)), spec_(spec), where_(std::move(where)), source_(std::move(source)) {}

  void push_number(double value) {
    if (spec_.unit == Unit::yes_no || spec_.unit == Unit::option || spec_.unit == Unit::section ||
        spec_.unit == Unit::panel || spec_.unit == Unit::profile)
      wrong_kind(fmt::format("{:g}", value));
    if (spec_.unit == Unit::count && value != std::floor(value))
      refuse("bad-count", fmt::format("{} is {:g}", spec_.name, value), "give a whole number");
    if (!(value >= spec_.least - 1e-9 && value <= spec_.most + 1e-9))
      refuse("out-of-range", fmt::format("{} is {}", spec_.name, print_amount(spec_, value, style())),
             "give " + print_range(spec_, style()));
    const Traced traced = Traced::named(spoken(spec_.name), value, source_, spec_.unit == Unit::length);
    bench_.structure->choices.push_back(
        {spec_.name, print_amount(spec_, value, style()), traced, given(), spec_.least, spec_.most});
    if (spec_.unit == Unit::length)
      push(lua_, traced);
    else if (spec_.unit == Unit::count)
      lua_pushinteger(lua_, static_cast<lua_Integer>(value));
    else
      lua_pushnumber(lua_, value);
  }

  void push_text(const std::string& text) {
    switch (spec_.unit) {
      case Unit::length: {
        const Result<double> read = parse_length(text);
        if (!read)
          refuse("bad-length", fmt::format("{}: {}", spec_.name, read.error().front().what), read.error().front().cure);
        return push_number(*read);
      }
      case Unit::count:
      case Unit::number:
      case Unit::yes_no:
        wrong_kind("\"" + text + "\"");
      case Unit::section:
        return push_section(text);
      case Unit::panel:
        return push_panel(text);
      case Unit::profile: {
        Result<Profile> profile = named_profile(text);
        if (!profile) refuse("unknown-profile", profile.error().front().what, profile.error().front().cure);
        return push_profile(*profile, text);
      }
      case Unit::option:
        if (std::find(spec_.options.begin(), spec_.options.end(), text) == spec_.options.end())
          refuse("unknown-option", fmt::format("{} is \"{}\"", spec_.name, text), suggest(text, spec_.options));
        note(text);
        lua_pushlstring(lua_, text.data(), text.size());
        return;
    }
  }

  void push_yes_no(bool yes) {
    if (spec_.unit != Unit::yes_no) wrong_kind(yes ? "yes" : "no");
    note(yes ? "yes" : "no");
    lua_pushboolean(lua_, yes);
  }

  void push_points(const Points& points) {
    if (spec_.unit != Unit::profile) wrong_kind("a list of points");
    Result<Profile> profile = free_profile(points);
    if (!profile) refuse("bad-curve", spec_.name + ": " + profile.error().front().what, profile.error().front().cure);
    push_profile(*profile, "drawn");
  }

 private:
  LengthStyle style() const { return bench_.job->style; }
  std::string given() const { return source_ == "choice" ? "job" : source_; }

  void note(const std::string& text) { bench_.structure->choices.push_back({spec_.name, text, std::nullopt, given()}); }

  [[noreturn]] void refuse(std::string code, std::string what, std::string cure) {
    raise(lua_, {Severity::error, std::move(code), std::move(what), std::move(cure), where_});
  }

  [[noreturn]] void wrong_kind(const std::string& got) {
    static constexpr std::array<std::string_view, 8> kWanted{"a length (1150, \"1.15 m\", \"3 ft 9 1/4 in\")",
                                                             "a whole number",
                                                             "a number",
                                                             "the name of a section",
                                                             "the name of a panel",
                                                             "the name of an end shape, or a list of points",
                                                             "one of its options",
                                                             "true or false"};
    refuse("wrong-kind", fmt::format("{} is {}", spec_.name, got),
           fmt::format("give {}", kWanted[static_cast<std::size_t>(spec_.unit)]));
  }

  void push_section(const std::string& name) {
    const SectionId id = use_section(lua_, name, where_);
    const timber::Section& section = (*bench_.structure)[id];
    note(name);
    const std::string source = (section.measured ? "measured " : "yard ") + name, part = spoken(spec_.name);
    push(lua_, SectionInHand{id, name, Traced::named(part + " width", section.width_mm, source),
                             Traced::named(part + " thickness", section.thickness_mm, source)});
  }

  void push_panel(const std::string& name) {
    const Result<const timber::PanelItem*> found = timber::find_panel(bench_.job->yard, name);
    if (!found) refuse("unknown-panel", found.error().front().what, found.error().front().cure);
    const timber::PanelItem& item = **found;
    note(name);
    const std::string size_source = (item.measured ? "measured " : "yard ") + name;
    lua_createtable(lua_, 0, 6);
    lua_pushlstring(lua_, name.data(), name.size());
    lua_setfield(lua_, -2, "item");
    push(lua_, Traced::named("panel width", item.width_mm, size_source));
    lua_setfield(lua_, -2, "width");
    push(lua_, Traced::named("panel height", item.height_mm, size_source));
    lua_setfield(lua_, -2, "height");
    push(lua_, Traced::named("panel thickness", item.thickness_mm, size_source));
    lua_setfield(lua_, -2, "thickness");
    lua_pushnumber(lua_, item.mass_kg);
    lua_setfield(lua_, -2, "mass");
    lua_pushnumber(lua_, item.solidity);
    lua_setfield(lua_, -2, "solidity");
  }

  void push_profile(const Profile& profile, const std::string& text) {
    note(text);
    push(lua_, profile);
  }

  lua_State* lua_;
  Bench& bench_;
  const ChoiceSpec& spec_;
  Place where_;
  std::string source_;
};

std::string usual(const timber::Yard& yard, const std::string& role) {
  for (const auto& [name, item] : yard.defaults)
    if (name == role) return item;
  return {};
}

void push_given(lua_State* lua, const ChoiceSpec& spec, const GivenChoice& given) {
  Answer answer(lua, spec, given.where, "choice");
  std::visit(
      [&](const auto& value) {
        using Kind = std::decay_t<decltype(value)>;
        if constexpr (std::is_same_v<Kind, double>)
          answer.push_number(value);
        else if constexpr (std::is_same_v<Kind, std::string>)
          answer.push_text(value);
        else if constexpr (std::is_same_v<Kind, bool>)
          answer.push_yes_no(value);
        else
          answer.push_points(value);
      },
      given.value);
}

/// What a default's text names: the yard's usual one for a role, or a thing itself.
std::string named_by_default(const timber::Yard& yard, Unit unit, const std::string& text) {
  const std::string item = unit == Unit::section || unit == Unit::panel ? usual(yard, text) : std::string();
  return item.empty() ? text : item;
}

/// The default of choice `number` of the pattern at `pattern_index`; the choices so far are read at `chosen`.
void push_default(lua_State* lua, int pattern_index, int number, int chosen, const ChoiceSpec& spec) {
  Bench& b = bench(lua);
  Answer answer(lua, spec, b.order->where, "default");
  lua_getfield(lua, pattern_index, "choices");
  lua_rawgeti(lua, -1, number);
  lua_getfield(lua, -1, "default");
  lua_replace(lua, -3);
  lua_pop(lua, 1);
  if (lua_isfunction(lua, -1)) {
    lua_pushvalue(lua, chosen);
    lua_call(lua, 1, 1);
  }
  if (lua_isnil(lua, -1) && !spec.role.empty()) {
    lua_pop(lua, 1);
    const std::string item = usual(b.job->yard, spec.role);
    if (item.empty())
      raise(lua, {Severity::error, "no-default",
                  fmt::format("{} is not given, and {} has no usual {}", spec.name, b.job->yard.title, spec.role),
                  fmt::format("give {} in [structure.choices]", spec.name), b.order->where});
    lua_pushlstring(lua, item.data(), item.size());
  }
  const int value = lua_gettop(lua);
  if (lua_isnil(lua, value)) {
    if (!spec.optional)
      raise(lua, {Severity::error, "missing-choice", fmt::format("{} is not given", spec.name),
                  spec.unit == Unit::length || spec.unit == Unit::count || spec.unit == Unit::number
                      ? fmt::format("give {} ({}): {}", spec.name, print_range(spec, b.job->style), spec.help)
                      : fmt::format("give {}: {}", spec.name, spec.help),
                  b.order->where});
    return;
  }
  if (lua_isboolean(lua, value))
    answer.push_yes_no(lua_toboolean(lua, value));
  else if (lua_type(lua, value) == LUA_TSTRING)
    answer.push_text(named_by_default(b.job->yard, spec.unit, lua_tostring(lua, value)));
  else
    answer.push_number(to_length(lua, value, ("the default of " + spec.name).c_str()).value());
  lua_remove(lua, value);
}

}  // namespace

Bench& bench(lua_State* lua) { return *static_cast<Bench*>(LuaBox::of(lua).context); }

Place Bench::place_of(const std::string& choice) const {
  for (const GivenChoice& given : order->choices)
    if (given.name == choice) return given.where;
  return order->where;
}

Place Bench::place_of(const Traced& length) const {
  if (length.terms().size() != 1) return order->where;
  std::string choice = length.terms().front().quantity->name;
  std::replace(choice.begin(), choice.end(), ' ', '_');
  return place_of(choice);
}

PatternSpec read_pattern(lua_State* lua, int index) {
  if (!lua_istable(lua, index)) luaL_error(lua, "a pattern file returns a table { name, title, choices, build }");
  PatternSpec spec{field_text(lua, index, "name"), field_text(lua, index, "title"), field_text(lua, index, "help"), {}};
  if (lua_getfield(lua, index, "build") != LUA_TFUNCTION) luaL_error(lua, "the pattern has no function build");
  if (lua_getfield(lua, index, "choices") != LUA_TTABLE) luaL_error(lua, "the pattern has no table choices");
  const int list = lua_gettop(lua);
  for (lua_Integer i = 1; lua_rawgeti(lua, list, i) == LUA_TTABLE; ++i) {
    spec.choices.push_back(read_choice(lua, lua_gettop(lua)));
    lua_settop(lua, list);
  }
  lua_settop(lua, list - 2);
  return spec;
}

namespace {

/// What a pattern looks at when it reads a choice: upvalue 1 holds them all.
int read_one(lua_State* lua) {
  if (lua_type(lua, 2) == LUA_TSTRING) bench(lua).read.insert(lua_tostring(lua, 2));
  lua_pushvalue(lua, 2);
  lua_rawget(lua, lua_upvalueindex(1));
  return 1;
}

/// What `pairs` walks: all of them, so that all count as read.
int read_all(lua_State* lua) {
  lua_pushnil(lua);
  while (lua_next(lua, lua_upvalueindex(1)) != 0) {
    if (lua_type(lua, -2) == LUA_TSTRING) bench(lua).read.insert(lua_tostring(lua, -2));
    lua_pop(lua, 1);
  }
  lua_pushvalue(lua, lua_upvalueindex(1));
  return 1;
}

/// Leaves a table that hands out what stands in the one at `chosen`, and notes what it hands out.
void push_reading(lua_State* lua, int chosen) {
  lua_newtable(lua);
  lua_createtable(lua, 0, 2);
  lua_pushvalue(lua, chosen);
  lua_pushcclosure(lua, read_one, 1);
  lua_setfield(lua, -2, "__index");
  lua_pushvalue(lua, chosen);
  lua_pushcclosure(lua, read_all, 1);
  lua_setfield(lua, -2, "__pairs");
  lua_setmetatable(lua, -2);
}

void must_be_known(lua_State* lua, const PatternSpec& spec, const std::vector<std::string>& names,
                   const std::string& name, const Place& where) {
  if (std::find(names.begin(), names.end(), name) == names.end())
    raise(lua, {Severity::error, "unknown-choice", fmt::format("{} has no choice \"{}\"", spec.name, name),
                suggest(name, names), where});
}

}  // namespace

void push_choices(lua_State* lua, int pattern_index, const PatternSpec& spec) {
  Bench& b = bench(lua);
  std::vector<std::string> names;
  for (const ChoiceSpec& choice : spec.choices) names.push_back(choice.name);
  for (const GivenChoice& given : b.order->choices) must_be_known(lua, spec, names, given.name, given.where);
  for (const OpenChoice& open : b.order->open.choices) must_be_known(lua, spec, names, open.name, open.where);
  for (const std::string& kept : b.order->open.all_but) must_be_known(lua, spec, names, kept, b.order->open.where);

  lua_newtable(lua);
  const int chosen = lua_gettop(lua);
  push_reading(lua, chosen);
  const int reading = lua_gettop(lua);
  for (std::size_t i = 0; i < spec.choices.size(); ++i) {
    const ChoiceSpec& choice = spec.choices[i];
    const auto given = std::find_if(b.order->choices.begin(), b.order->choices.end(),
                                    [&](const GivenChoice& g) { return g.name == choice.name; });
    if (given != b.order->choices.end()) {
      // Given wrongly, it ends the run by itself: then it counts as read, else when the pattern looks at it.
      const auto [noted, is_new] = b.read.insert(choice.name);
      push_given(lua, choice, *given);
      if (is_new) b.read.erase(noted);
    } else {
      push_default(lua, pattern_index, static_cast<int>(i) + 1, reading, choice);
    }
    lua_setfield(lua, chosen, choice.name.c_str());
  }
  lua_remove(lua, chosen);
}

ChoiceInfo describe(const ChoiceSpec& spec, const timber::Yard* yard, LengthStyle style) {
  ChoiceInfo info{spec.name,         std::string(kUnitNames[static_cast<std::size_t>(spec.unit)]),
                  spec.group,        spec.help,
                  spec.default_text, spec.worked_out,
                  spec.optional,     {},
                  spec.least,        spec.most,
                  spec.step};
  if (spec.unit == Unit::length && !spec.default_text.empty())
    if (const Result<double> mm = parse_length(spec.default_text)) {
      info.fallback = format_length(*mm, style);
      info.fallback_value = *mm;
    }
  if ((spec.unit == Unit::count || spec.unit == Unit::number) && !spec.default_text.empty())
    if (double value = 0;
        std::from_chars(spec.default_text.data(), spec.default_text.data() + spec.default_text.size(), value).ec ==
        std::errc{})
      info.fallback_value = value;
  if (spec.unit == Unit::length || spec.unit == Unit::count || spec.unit == Unit::number)
    info.range = print_range(spec, style);
  if (spec.unit == Unit::option)
    for (const std::string& option : spec.options) info.range += (info.range.empty() ? "" : ", ") + option;
  if (spec.unit == Unit::profile)
    for (const std::string& name : profile_names()) info.range += (info.range.empty() ? "" : ", ") + name;
  if (!spec.role.empty() && yard) info.fallback = usual(*yard, spec.role);
  info.options = spec.unit == Unit::profile ? profile_names() : spec.options;
  info.role = spec.role;
  return info;
}

SectionId use_section(lua_State* lua, const std::string& name, const Place& where) {
  Bench& b = bench(lua);
  for (std::size_t i = 0; i < b.structure->sections.size(); ++i)
    if (b.structure->sections[i].name == name) return {static_cast<int>(i)};
  const Result<const timber::Section*> found = timber::find_section(b.job->yard, name);
  if (!found) {
    Diagnostic diagnostic = found.error().front();
    diagnostic.where = where;
    raise(lua, std::move(diagnostic));
  }
  b.structure->sections.push_back(**found);
  return {static_cast<int>(b.structure->sections.size()) - 1};
}

}  // namespace garthwright::pattern
