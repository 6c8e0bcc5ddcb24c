// SPDX-License-Identifier: Apache-2.0
#include "sheets/job_code.h"

#include <qrencode.h>
#include <zlib.h>

#include <memory>
#include <stdexcept>
#include <vector>

namespace garthwright::sheets {

namespace {

constexpr double kModule = 0.4;  // mm: five dots of a 300 dpi printer
constexpr int kQuiet = 4;        // modules of white around (ISO/IEC 18004)
constexpr int kMostWide = 113;   // modules (version 24): a hand-held telephone still reads it

struct Free {
  void operator()(QRcode* code) const { QRcode_free(code); }
};
using Code = std::unique_ptr<QRcode, Free>;

Code code_of(std::string_view words) {
  if (words.empty() || words.size() > 2953) return nullptr;  // the most bytes of any code
  Code code(QRcode_encodeData(static_cast<int>(words.size()), reinterpret_cast<const unsigned char*>(words.data()), 0,
                              QR_ECLEVEL_L));
  return code && code->width <= kMostWide ? std::move(code) : nullptr;
}

/// Without blank lines and those that are a comment alone; what stands between three quotes stays as it is.
std::string without_comments(std::string_view job) {
  if (job.find("'''") != std::string_view::npos || job.find("\"\"\"") != std::string_view::npos)
    return std::string(job);
  std::string out;
  while (!job.empty()) {
    const std::size_t end = std::min(job.find('\n'), job.size() - 1) + 1;
    const std::string_view line = job.substr(0, end);
    job.remove_prefix(end);
    const std::size_t first = line.find_first_not_of(" \t\r\n");
    if (first != std::string_view::npos && line[first] != '#') out += line;
  }
  return out;
}

std::string deflated(const std::string& text) {
  z_stream stream{};
  if (deflateInit2(&stream, Z_BEST_COMPRESSION, Z_DEFLATED, -MAX_WBITS, 8, Z_DEFAULT_STRATEGY) != Z_OK)
    throw std::bad_alloc();
  std::string out(deflateBound(&stream, static_cast<uLong>(text.size())), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(text.data()));
  stream.avail_in = static_cast<uInt>(text.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const int done = deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  if (done != Z_STREAM_END) throw std::logic_error("a job was deflated to more than its bound");
  return out;
}

std::string base64url(const std::string& bytes) {
  constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::string out;
  unsigned held = 0;
  int bits = 0;
  for (const char byte : bytes) {
    held = (held << 8) | static_cast<unsigned char>(byte);
    for (bits += 8; bits >= 6; bits -= 6) out += kLetters[(held >> (bits - 6)) & 63];
  }
  if (bits > 0) out += kLetters[(held << (6 - bits)) & 63];
  return out;
}

}  // namespace

std::string job_address(std::string_view job) {
  if (job.empty()) return "";
  return "http://localhost:8080/#j=" + base64url(deflated(without_comments(job)));
}

double code_side(std::string_view words) {
  const Code code = code_of(words);
  return code ? kModule * (code->width + 2 * kQuiet) : 0;
}

double draw_code(Items& items, std::string_view words, Point at) {
  const Code code = code_of(words);
  if (!code) return 0;
  Path black;
  for (int y = 0; y < code->width; ++y)
    for (int x = 0; x < code->width;) {
      const auto is_black = [&](int column) { return (code->data[y * code->width + column] & 1) != 0; };
      int end = x;
      while (end < code->width && is_black(end)) ++end;
      if (end == x) {
        ++x;
        continue;
      }
      const Point a{at.x + kModule * (x + kQuiet), at.y + kModule * (y + kQuiet)};
      const Point b{at.x + kModule * (end + kQuiet), a.y + kModule};
      using Kind = Path::Step::Kind;
      for (const auto& [kind, to] : {std::pair{Kind::move, a},
                                     {Kind::line, Point{b.x, a.y}},
                                     {Kind::line, b},
                                     {Kind::line, Point{a.x, b.y}},
                                     {Kind::close, a}})
        black.steps.push_back({kind, to, {}, {}});
      x = end;
    }
  items.push_back({Group{std::string(kJobCode), {{Fill{std::move(black), 1}}}}});
  return kModule * (code->width + 2 * kQuiet);
}

void draw_named_code(Items& items, std::string_view words, Point at) {
  const double side = draw_code(items, words, at);
  if (side > 0)
    write_block(items, "This job: opens in the page of garthwright serve.", {at.x + kModule * kQuiet, at.y + side},
                side - 2 * kModule * kQuiet, kNote);
}

}  // namespace garthwright::sheets
