// SPDX-License-Identifier: Apache-2.0
//
// Pages that are filled from top to bottom, and tables that run over them.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "sheets/brief.h"
#include "sheets/pen.h"

namespace garthwright::sheets {

/// Writes one kind of sheet, as many pages as it takes. Pages are added to the given list; the first is what the flow
/// before left of its last page, where that is turned the same way and `least` mm and more are left.
class Flow {
 public:
  Flow(std::vector<Sheet>& sheets, const Brief& brief, std::string id, std::string title, Turned turned,
       double least = 70);
  Flow(const Flow&) = delete;
  Flow& operator=(const Flow&) = delete;
  ~Flow();

  Items& items() { return sheets_.back().items; }
  /// What the title block says of the scale of this and the following pages.
  void scale(const std::string& words);
  Rect area() const { return drawing_area(sheets_.back()); }
  double y() const { return y_; }
  double room() const { return area().bottom - y_; }
  void down(double mm) { y_ += mm; }
  /// Begins a new page unless `height` mm are left on this one. True when it did.
  bool ensure(double height);
  void new_page();

  void heading(std::string_view words, double keep_with_mm = 20);
  void paragraph(std::string_view words, double size = kBody, Lettering lettering = Lettering::plain);

 private:
  void begin(bool continued);
  bool goes_on(double least);
  std::vector<Sheet>& sheets_;
  const Brief& brief_;
  std::string id_, title_, scale_;
  Turned turned_;
  double y_ = 0;
};

/// `least` of a flow that begins a page whatever is left of the one before.
inline constexpr double kPageOfItsOwn = 1e6;

/// Whether the set has this kind already.
bool has_kind(const std::vector<Sheet>& sheets, std::string_view id);

struct Column {
  std::string head;
  int align = -1;
  bool wraps = false;  ///< shares what the other columns leave, and breaks its text over lines
  bool tick = false;   ///< an empty box to tick, cells are not read
  double drawn = 0;    ///< width of a drawing in place of words (Row::draw), mm
};

struct Row {
  std::vector<std::string> cells;
  bool strong = false;                                 ///< bold, under a rule: a total, or the beginning of a part
  std::function<void(Items&, const Rect&)> draw = {};  ///< fills the drawn column's first line
};

struct Table {
  std::vector<Column> columns;
  std::vector<Row> rows;
  double size = kBody;
  double leading = 1.9;  ///< height of a one-line row over the size of its lettering
};

/// Sets the table from where the flow stands; the head is repeated on every page, a row is never broken.
void lay(Flow& flow, const Table& table);

}  // namespace garthwright::sheets
