// SPDX-License-Identifier: Apache-2.0
#include "server/content_tag.h"

#include <openssl/evp.h>
#include <zlib.h>

#include <array>
#include <stdexcept>

namespace garthwright::server {

std::string content_tag(std::string_view bytes) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), &size, EVP_sha256(), nullptr) != 1)
    throw std::runtime_error("SHA-256 is not to be had from OpenSSL");
  std::string tag = "\"";
  for (std::size_t i = 0; i < size / 2; ++i) {
    tag += "0123456789abcdef"[digest[i] >> 4];
    tag += "0123456789abcdef"[digest[i] & 15];
  }
  return tag + "\"";
}

std::string compressed_tag(const std::string& tag) { return tag.substr(0, tag.size() - 1) + "-gz\""; }

bool holds_tag(std::string_view list, const std::string& tag) {
  const std::string compressed = compressed_tag(tag);
  while (!list.empty()) {
    const std::size_t comma = std::min(list.find(','), list.size());
    std::string_view one = list.substr(0, comma);
    list.remove_prefix(std::min(comma + 1, list.size()));
    while (!one.empty() && (one.front() == ' ' || one.front() == '\t')) one.remove_prefix(1);
    while (!one.empty() && (one.back() == ' ' || one.back() == '\t')) one.remove_suffix(1);
    if (one.starts_with("W/")) one.remove_prefix(2);
    if (one == "*" || one == tag || one == compressed) return true;
  }
  return false;
}

std::string gzipped(std::string_view bytes) {
  z_stream stream{};
  constexpr int kGzip =
      16;  // zlib.h, deflateInit2: adding 16 to the window's bits writes a gzip header, without a time
  if (deflateInit2(&stream, Z_BEST_SPEED, Z_DEFLATED, MAX_WBITS + kGzip, 8, Z_DEFAULT_STRATEGY) != Z_OK)
    throw std::bad_alloc();
  std::string out(deflateBound(&stream, bytes.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));  // zlib only reads it
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const int end = deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  if (end != Z_STREAM_END) throw std::runtime_error("zlib did not finish within its own bound");
  return out;
}

}  // namespace garthwright::server
