// SPDX-License-Identifier: Apache-2.0
#include "pattern/job_text.h"

#include <algorithm>
#include <cctype>
#include <map>
#include <optional>

#include "base/quoted.h"
#include "base/table_reader.h"

namespace garthwright::pattern {
namespace {

/// Where lines begin; places of the parser (line and column, in characters) as places of bytes.
class Lines {
 public:
  explicit Lines(const std::string& text) : text_(text), begins_{0} {
    for (std::size_t i = 0; i < text.size(); ++i)
      if (text[i] == '\n') begins_.push_back(i + 1);
  }

  std::size_t at(const toml::source_position& place) const {
    std::size_t byte = begins_[place.line - 1];
    for (toml::source_index column = 1; column < place.column && byte < text_.size(); ++column) {
      ++byte;
      while (byte < text_.size() && (static_cast<unsigned char>(text_[byte]) & 0xC0) == 0x80) ++byte;
    }
    return byte;
  }
  std::size_t line_begin(std::size_t byte) const {
    return *std::prev(std::upper_bound(begins_.begin(), begins_.end(), byte));
  }
  /// Past the line's last character, before what ends it.
  std::size_t line_end(std::size_t byte) const {
    const std::size_t end = std::min(text_.find('\n', byte), text_.size());
    return end > byte && end < text_.size() && text_[end - 1] == '\r' ? end - 1 : end;
  }
  /// Of the line after.
  std::size_t next_line(std::size_t byte) const {
    const std::size_t end = text_.find('\n', byte);
    return end == std::string::npos ? text_.size() : end + 1;
  }

 private:
  const std::string& text_;
  std::vector<std::size_t> begins_;
};

struct Span {
  std::size_t from = 0, to = 0;
};
Span span_of(const toml::node& node, const Lines& lines) {
  return {lines.at(node.source().begin), lines.at(node.source().end)};
}

bool is_inline(const toml::node& node) { return node.is_table() && node.as_table()->is_inline(); }

/// A table with a header of its own, "[structure.choices]"; else it is inline, or made by keys with dots.
bool has_header(const toml::table& table, const std::string& text, const Lines& lines) {
  const Span span = span_of(table, lines);
  return !table.is_inline() && span.from < text.size() && text[span.from] == '[';
}

/// Where the text of a node ends: of a table with its last line of its own, without tables that have headers.
std::size_t end_of(const toml::node& node, const std::string& text, const Lines& lines) {
  std::size_t end = span_of(node, lines).to;
  const toml::table* table = node.as_table();
  if (table == nullptr || table->is_inline()) return end;
  for (auto&& [key, value] : *table) {
    const bool elsewhere = (value.is_table() && has_header(*value.as_table(), text, lines)) ||
                           (value.is_array_of_tables() && text[span_of(value, lines).from] == '[' &&
                            text.compare(span_of(value, lines).from, 2, "[[") == 0);
    if (!elsewhere) end = std::max(end, end_of(value, text, lines));
  }
  return end;
}

std::string ending_of(const std::string& text) { return text.find("\r\n") == std::string::npos ? "\n" : "\r\n"; }

/// Puts whole lines after the line that `byte` is on.
std::string with_lines_after(const std::string& text, const Lines& lines, std::size_t byte, const std::string& added) {
  const std::size_t at = lines.next_line(byte);
  const bool cut_short = at == text.size() && !text.ends_with("\n");
  return text.substr(0, at) + (cut_short ? ending_of(text) : "") + added + text.substr(at);
}

std::string indent_of(const std::string& text, const Lines& lines, std::size_t byte) {
  const std::size_t begin = lines.line_begin(byte);
  return text.substr(begin, text.find_first_not_of(" \t", begin) - begin);
}

/// Comments between two places, each from its # to its line's end, strings passed over.
std::vector<std::string> comments_in(const std::string& text, Span span) {
  std::vector<std::string> found;
  for (std::size_t i = span.from; i < span.to; ++i) {
    if (text[i] == '#') {
      const std::size_t end = text.find_first_of("\r\n", i);
      found.push_back(text.substr(i, end == std::string::npos ? end : end - i));
      i = end == std::string::npos ? span.to : end;
    } else if (text[i] == '"' || text[i] == '\'') {
      const std::string mark =
          text.compare(i, 3, std::string(3, text[i])) == 0 ? std::string(3, text[i]) : std::string(1, text[i]);
      std::size_t end = i + mark.size();
      while (end < span.to && text.compare(end, mark.size(), mark) != 0)
        end += text[end] == '\\' && mark[0] == '"' ? 2 : 1;
      i = end + mark.size() - 1;
    }
  }
  return found;
}

/// A key as TOML has it: bare where it may be.
std::string key_text(const std::string& name) {
  const bool bare = !name.empty() && std::all_of(name.begin(), name.end(), [](unsigned char c) {
    return std::isalnum(c) != 0 || c == '_' || c == '-';
  });
  return bare ? name : toml_text(name);
}

/// A text with one value set in `table`, which stands in it; nothing else moves.
std::string with_value(const std::string& text, const toml::table& table, const std::string& table_name,
                       const std::string& name, const std::string& value, const std::string& comment) {
  const Lines lines(text);
  if (const toml::node* now = table.get(name)) {
    const Span span = span_of(*now, lines);
    return text.substr(0, span.from) + value + text.substr(span.to);
  }
  const Span whole = span_of(table, lines);
  if (table.is_inline()) {
    std::size_t last = whole.from + 1;
    for (auto&& [key, node] : table) last = std::max(last, span_of(node, lines).to);
    return text.substr(0, last) + (table.empty() ? " " : ", ") + key_text(name) + " = " + value +
           (table.empty() ? " " : "") + text.substr(last);
  }
  const bool header = has_header(table, text, lines);
  const std::size_t last = end_of(table, text, lines);
  const std::string line = indent_of(text, lines, last) + (header ? "" : table_name + ".") + key_text(name) + " = " +
                           value + (comment.empty() ? "" : "  " + comment) + ending_of(text);
  return with_lines_after(text, lines, last > 0 ? last - 1 : 0, line);
}

/// The table of structure `number`, or none.
toml::table* structure_in(toml::table& root, std::size_t number) {
  toml::node* list = root.get("structure");
  toml::array* all = list ? list->as_array() : nullptr;
  toml::node* one = all ? all->get(number) : nullptr;
  return one ? one->as_table() : nullptr;
}

tl::unexpected<Diagnostics> cannot(const std::string& what, const std::string& file) {
  return fail("cannot-edit", what, "change it by hand", {file, 0, 0, {}});
}

/// The text when it says what was meant and nothing else.
Result<std::string> meant(std::string text, const toml::table& wanted, const std::string& file) {
  const Result<toml::table> read = parse_toml(text, file);
  if (!read || *read != wanted)
    return cannot("the job's text is written in a way that cannot be changed piece by piece", file);
  return text;
}

Result<toml::table> value_table(const std::string& name, const std::string& value, const std::string& file) {
  return parse_toml(toml_text(name) + " = " + value, file);
}

void put(toml::table& into, const std::string& name, const toml::table& from) {
  into.insert_or_assign(name, *from.get(name));
}

}  // namespace

std::string toml_text(const std::string& text) {
  if (text.find('"') != std::string::npos && text.find('\'') == std::string::npos) return "'" + text + "'";
  std::string escaped;
  for (const char c : text) escaped += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
  return '"' + escaped + '"';
}

Result<JobText> JobText::read(std::string text, const std::string& file) {
  const Result<toml::table> root = parse_toml(text, file);
  if (!root) return tl::make_unexpected(root.error());
  return JobText(std::move(text), file);
}

Result<void> JobText::set_choice(std::size_t number, const std::string& name, const std::string& value,
                                 const std::string& comment) {
  return set_in(number, "choices", name, value, comment);
}

Result<void> JobText::set_fixing(std::size_t number, const std::string& joint, const std::string& value) {
  return set_in(number, "fixings", joint, value, {});
}

Result<void> JobText::set_in(std::size_t number, const std::string& table, const std::string& name,
                             const std::string& value, const std::string& comment) {
  Result<toml::table> root = parse_toml(text_, file_);
  const Result<toml::table> made = value_table(name, value, file_);
  if (!root || !made) return tl::make_unexpected((root ? made : root).error());
  toml::table* structure = structure_in(*root, number);
  if (structure == nullptr) return cannot("the job has no such structure", file_);
  toml::node* there = structure->get(table);
  if (there && !there->is_table()) return cannot(table + " is no table", file_);

  std::string changed;
  if (there) {
    changed = with_value(text_, *there->as_table(), table, name, value, comment);
  } else if (structure->is_inline()) {
    changed = with_value(text_, *structure, "", table, "{ " + key_text(name) + " = " + value + " }", "");
  } else {
    const Lines lines(text_);
    const std::string ending = ending_of(text_);
    changed = with_lines_after(text_, lines, end_of(*structure, text_, lines) - 1,
                               ending + "[structure." + table + "]" + ending + key_text(name) + " = " + value +
                                   (comment.empty() ? "" : "  " + comment) + ending);
  }
  if (!there) structure->insert(table, toml::table{});
  put(*structure->get(table)->as_table(), name, *made);
  Result<std::string> text = meant(std::move(changed), *root, file_);
  if (!text) return tl::make_unexpected(text.error());
  text_ = *std::move(text);
  return {};
}

Result<void> JobText::set_site(const std::string& name, const std::string& value) {
  Result<toml::table> root = parse_toml(text_, file_);
  const Result<toml::table> made = value_table(name, value, file_);
  if (!root || !made) return tl::make_unexpected((root ? made : root).error());
  toml::node* there = root->get("site");
  if (there && !there->is_table()) return cannot("site is no table", file_);

  std::string changed;
  if (there) {
    changed = with_value(text_, *there->as_table(), "site", name, value, "");
  } else {
    const toml::node* first = root->get("structure");
    const Lines lines(text_);
    const std::size_t at = first ? lines.line_begin(span_of(*first, lines).from) : text_.size();
    const std::string ending = ending_of(text_);
    changed = text_.substr(0, at) + "[site]" + ending + name + " = " + value + ending + ending + text_.substr(at);
  }
  if (!there) root->insert("site", toml::table{});
  put(*root->get("site")->as_table(), name, *made);
  Result<std::string> text = meant(std::move(changed), *root, file_);
  if (!text) return tl::make_unexpected(text.error());
  text_ = *std::move(text);
  return {};
}

namespace {

/// A key and its value where they stand on lines of their own, with what comment belongs to them.
struct OpenLine {
  std::string name;
  Span lines;  ///< from the first line's begin to the next line's
  std::vector<std::string> comments;
};

OpenLine line_of(const std::string& name, const std::string& text, const Lines& lines, Span span) {
  const std::size_t end = lines.line_end(span.to);
  return {name, {lines.line_begin(span.from), lines.next_line(span.to)}, comments_in(text, {span.from, end})};
}

/// The lines that `open` takes up in a structure that is no inline table.
std::vector<OpenLine> lines_of_open(const toml::table& structure, const std::string& text, const Lines& lines) {
  const toml::node& open = *structure.get("open");
  const toml::table* table = open.as_table();
  if (table == nullptr || table->is_inline()) return {line_of("", text, lines, span_of(open, lines))};
  std::vector<OpenLine> all;
  if (has_header(*table, text, lines)) all.push_back(line_of("", text, lines, span_of(open, lines)));
  for (auto&& [key, value] : *table) all.push_back(line_of(std::string(key.str()), text, lines, span_of(value, lines)));
  std::sort(all.begin(), all.end(), [](const OpenLine& a, const OpenLine& b) { return a.lines.from < b.lines.from; });
  return all;
}

/// Takes out the blank line that begins here where the line before is blank too, or is none.
void close_gap(std::string& text, std::size_t at) {
  const auto blank = [&](std::size_t from) {
    return text.compare(from, 1, "\n") == 0 || text.compare(from, 2, "\r\n") == 0;
  };
  if (at >= text.size() || !blank(at)) return;
  const std::size_t before = at < 2 ? 0 : text.rfind('\n', at - 2) + 1;  // npos + 1 is 0
  if (at == 0 || blank(before)) text.erase(at, text[at] == '\r' ? 2 : 1);
}

}  // namespace

Result<void> JobText::settle(std::size_t number, const std::vector<std::pair<std::string, std::string>>& values) {
  Result<toml::table> root = parse_toml(text_, file_);
  if (!root) return tl::make_unexpected(root.error());
  toml::table* structure = structure_in(*root, number);
  if (structure == nullptr) return cannot("the job has no such structure", file_);
  JobText now = *this;
  std::map<std::string, std::string> comments;
  if (structure->contains("open")) {
    if (is_inline(*structure)) return cannot("what is open stands in an inline table", file_);
    const toml::node* choices = structure->get("choices");
    const Lines lines(text_);
    std::string changed = text_;
    std::vector<OpenLine> all = lines_of_open(*structure, text_, lines);
    for (auto line = all.rbegin(); line != all.rend(); ++line) {
      const bool set = std::any_of(values.begin(), values.end(), [&](const auto& v) { return v.first == line->name; });
      const bool stands =
          choices && choices->is_table() && !is_inline(*choices) && choices->as_table()->contains(line->name);
      std::string kept;
      if (set && !stands && line->comments.size() == 1 && !(choices && is_inline(*choices)))
        comments[line->name] = line->comments.front();
      else
        for (const std::string& comment : line->comments) kept += comment + ending_of(text_);
      changed.replace(line->lines.from, line->lines.to - line->lines.from, kept);
      if (kept.empty()) close_gap(changed, line->lines.from);
    }
    structure->erase("open");
    Result<std::string> text = meant(std::move(changed), *root, file_);
    if (!text) return tl::make_unexpected(text.error());
    now.text_ = *std::move(text);
  }
  for (const auto& [name, value] : values)
    if (const Result<void> done = now.set_choice(number, name, value, comments[name]); !done) return done;
  *this = std::move(now);
  return {};
}

}  // namespace garthwright::pattern
