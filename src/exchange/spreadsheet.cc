// SPDX-License-Identifier: Apache-2.0
#include "exchange/spreadsheet.h"

#include <fmt/format.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <variant>
#include <vector>

namespace garthwright::exchange {

namespace {

using Cell = std::variant<double, std::string>;

/// One sheet of the workbook, filled a row at a time under bold heads that stay in sight.
class Page {
 public:
  Page(lxw_workbook* book, const char* name, const std::vector<std::string>& heads)
      : page_(workbook_add_worksheet(book, name)) {
    lxw_format* bold = workbook_add_format(book);
    format_set_bold(bold);
    for (std::size_t i = 0; i < heads.size(); ++i) {
      const auto column = static_cast<lxw_col_t>(i);
      worksheet_write_string(page_, 0, column, heads[i].c_str(), bold);
      worksheet_set_column(page_, column, column, std::max(9.0, static_cast<double>(heads[i].size()) + 2), nullptr);
    }
    worksheet_freeze_panes(page_, 1, 0);
  }

  void add(const std::vector<Cell>& cells) {
    ++row_;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const auto column = static_cast<lxw_col_t>(i);
      if (const auto* number = std::get_if<double>(&cells[i])) {
        if (std::isfinite(*number)) worksheet_write_number(page_, row_, column, *number, nullptr);
      } else {
        // Always as text: what begins with "=" is no formula of ours.
        worksheet_write_string(page_, row_, column, std::get<std::string>(cells[i]).c_str(), nullptr);
      }
    }
  }

 private:
  lxw_worksheet* page_;
  lxw_row_t row_ = 0;
};

double rounded(double mm) { return std::round(mm * 1000) / 1000 + 0.0; }

void add_pieces(lxw_workbook* book, const Plan& plan) {
  Page page(
      book, "pieces",
      {"mark", "name", "structure", "quantity", "section", "width mm", "thickness mm", "length mm", "each kg", "why"});
  for (const PieceRow& p : plan.pieces)
    page.add({p.mark, p.name, p.structure, double(p.quantity), p.section, rounded(p.width_mm), rounded(p.thickness_mm),
              rounded(p.length_mm), rounded(p.mass_kg), p.why});
}

void add_purchase(lxw_workbook* book, const Plan& plan) {
  const buying::Report& list = plan.purchase;
  const double major = std::pow(10, list.currency.minor_digits);
  Page page(
      book, "purchase",
      {"kind", "name", "length mm", "quantity", "unit", "each " + list.currency.code, "amount " + list.currency.code});
  const auto add = [&](const char* kind, const std::string& name, Cell length, int quantity, const std::string& unit,
                       Money each) {
    page.add({kind, name, std::move(length), double(quantity), unit, double(each.minor) / major,
              double(each.minor * quantity) / major});
  };
  for (const buying::TimberLine& l : list.timber)
    add("timber", l.section, rounded(l.length_mm), l.quantity,
        l.bundle > 1 ? fmt::format("bundle of {}", l.bundle) : "length", l.unit_price);
  const auto add_all = [&](const char* kind, const std::vector<buying::ItemLine>& lines) {
    for (const buying::ItemLine& l : lines) add(kind, l.name, std::string(), l.quantity, l.unit, l.unit_price);
  };
  add_all("panel", list.panels);
  add_all("fixing", list.fixings);
  add_all("ground", list.ground);
  add_all("extra", list.extras);
  page.add({"", "total", "", "", "", "", double(list.total.minor) / major});
}

void add_holes(lxw_workbook* book, const Plan& plan) {
  Page page(
      book, "holes",
      {"structure", "post", "x mm", "y mm", "across mm", "deep mm", "gravel mm", "concrete l", "filled with", "bags"});
  for (const HoleRow& hole : plan.holes) {
    const Structure& s = plan.garden.structures[static_cast<std::size_t>(hole.part.index)];
    page.add({s.name, describe(s, body(hole.post)), rounded(hole.centre.x), rounded(hole.centre.y),
              rounded(hole.diameter_mm), rounded(hole.depth_mm), rounded(hole.gravel_mm), rounded(hole.concrete_l),
              hole.bag, double(hole.bags)});
  }
}

void add_checks(lxw_workbook* book, const Plan& plan) {
  Page page(book, "checks", {"verdict", "used", "what", "when", "asked", "given", "unit", "in words", "clauses"});
  for (const Check* check : all_checks(plan)) {
    const CheckWords words = words_of(plan, *check);
    page.add({std::string(name(check->verdict)), rounded(check->utilisation), words.title, words.when,
              rounded(check->demand), rounded(check->capacity), check->unit, check->plain, check->source});
  }
}

/// A file that is gone when nobody looks at it any more.
class Scratch {
 public:
  Scratch() {
    std::error_code none;
    path_ = (std::filesystem::temp_directory_path(none) / "garthwright-XXXXXX").string();
    const int file = mkstemp(path_.data());
    made_ = file >= 0;
    if (made_) close(file);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  ~Scratch() {
    if (made_) unlink(path_.c_str());
  }
  bool made() const { return made_; }
  const std::string& path() const { return path_; }

 private:
  std::string path_;
  bool made_ = false;
};

/// The date the job gives as the workbook's own, so that no clock is in it.
std::time_t day_of(const std::string& date) {
  std::tm day{};
  day.tm_year = 100, day.tm_mday = 1;
  if (date.size() == 10) {
    day.tm_year = std::stoi(date.substr(0, 4)) - 1900;
    day.tm_mon = std::stoi(date.substr(5, 2)) - 1;
    day.tm_mday = std::stoi(date.substr(8, 2));
  }
  return timegm(&day);
}

}  // namespace

Result<std::string> spreadsheet_bytes(const Plan& plan) {
  const Scratch scratch;
  const auto failed = [&](const std::string& why) {
    return fail("cannot-write", "cannot write: " + why, "make room and run again");
  };
  if (!scratch.made()) return failed("no file can be made there");
  lxw_workbook* book = workbook_new(scratch.path().c_str());
  if (book == nullptr) return failed("there is no memory for it");
  std::string title = plan.title, author = "Garthwright";
  lxw_doc_properties about{};
  about.title = title.data();
  about.author = author.data();
  about.created = day_of(plan.job.date);
  workbook_set_properties(book, &about);
  add_pieces(book, plan);
  add_purchase(book, plan);
  add_holes(book, plan);
  add_checks(book, plan);
  errno = 0;
  if (const lxw_error error = workbook_close(book); error != LXW_NO_ERROR)
    return failed(errno != 0 ? std::strerror(errno) : lxw_strerror(error));
  std::ifstream file(scratch.path(), std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(file), {});
}

}  // namespace garthwright::exchange
