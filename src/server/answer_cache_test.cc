// SPDX-License-Identifier: Apache-2.0
#include "server/answer_cache.h"

#include <gtest/gtest.h>

#include <thread>

#include "server/content_tag.h"

namespace garthwright::server {
namespace {

std::shared_ptr<const Reply> reply(std::string bytes) {
  return std::make_shared<Reply>(prepared(200, {"application/octet-stream", std::move(bytes), {}}));
}

TEST(AnswerCache, WhatWasNotAskedForLongestGoesFirst) {
  AnswerCache cache(10'000);  // four of about 2.5 kB
  for (const char* name : {"a", "b", "c"}) cache.keep(name, reply(std::string(1900, *name)));
  EXPECT_NE(nullptr, cache.find("a"));
  cache.keep("d", reply(std::string(1900, 'd')));
  cache.keep("e", reply(std::string(1900, 'e')));
  EXPECT_EQ(nullptr, cache.find("b"));
  for (const char* name : {"a", "c", "d", "e"}) {
    ASSERT_NE(nullptr, cache.find(name)) << name;
    EXPECT_EQ(*name, cache.find(name)->answer.bytes.front());
  }
  EXPECT_LE(cache.bytes(), 10'000u);
}

TEST(AnswerCache, OneLargeAnswerDoesNotEmptyIt) {
  AnswerCache cache(10'000);
  cache.keep("small", reply("x"));
  cache.keep("large", reply(std::string(9'000, 'x')));
  EXPECT_NE(nullptr, cache.find("small"));
  EXPECT_EQ(nullptr, cache.find("large"));
}

TEST(AnswerCache, ManyThreadsMayUseIt) {
  AnswerCache cache(100'000);
  std::vector<std::thread> threads;
  for (int t = 0; t < 4; ++t)
    threads.emplace_back([&cache, t] {
      for (int i = 0; i < 2000; ++i) {
        const std::string key = std::to_string((i * (t + 1)) % 97);
        if (const auto kept = cache.find(key)) {
          EXPECT_EQ(key, kept->answer.bytes);
        } else {
          cache.keep(key, reply(key));
        }
      }
    });
  for (std::thread& thread : threads) thread.join();
  EXPECT_LE(cache.bytes(), 100'000u);
}

// NIST FIPS 180-2, appendix B.1: SHA-256("abc") = ba7816bf 8f01cfea 414140de 5dae2223 …
TEST(ContentTag, IsHalfOfTheSha256) {
  EXPECT_EQ("\"ba7816bf8f01cfea414140de5dae2223\"", content_tag("abc"));
  EXPECT_EQ("\"ba7816bf8f01cfea414140de5dae2223-gz\"", compressed_tag(content_tag("abc")));
}

TEST(ContentTag, IsFoundInLists) {
  const std::string tag = "\"one\"";
  for (const char* list : {"\"one\"", "\"two\", \"one\"", "W/\"one\"", "*", "\"one-gz\"", " \"one\" ,"})
    EXPECT_TRUE(holds_tag(list, tag)) << list;
  for (const char* list : {"", "\"on\"", "one", "\"one\"x", ","}) EXPECT_FALSE(holds_tag(list, tag)) << list;
}

TEST(Zipped, TheSameEachTimeAndMuchSmallerForText) {
  std::string text;
  for (int i = 0; i < 500; ++i) text += "{\"length_mm\": " + std::to_string(i) + "}, ";
  EXPECT_EQ(gzipped(text), gzipped(text));
  EXPECT_LT(gzipped(text).size(), text.size() / 3);
  EXPECT_TRUE(prepared(200, {"application/json", "{}", {}}).zipped.empty());
  EXPECT_TRUE(prepared(200, {"application/pdf", text, {}}).zipped.empty());
  EXPECT_FALSE(prepared(200, {"application/json", text, {}}).zipped.empty());
}

}  // namespace
}  // namespace garthwright::server
