// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace garthwright::server {

/// The ETag of these bytes: half of their SHA-256 in hexadecimal, in double quotes. Equal bytes have equal tags on
/// every machine, so that a tag from one instance means the same to another.
std::string content_tag(std::string_view bytes);

/// The tag of the same bytes sent compressed (RFC 9110, 8.8.3: strong tags tell representations apart).
std::string compressed_tag(const std::string& tag);

/// Whether a list of tags, as in If-Match and If-None-Match, holds this one, compressed or not, or is "*".
bool holds_tag(std::string_view list, const std::string& tag);

/// The bytes as gzip (RFC 1952), quickly rather than smally; the same bytes each time.
std::string gzipped(std::string_view bytes);

}  // namespace garthwright::server
