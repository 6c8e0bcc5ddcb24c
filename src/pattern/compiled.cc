// SPDX-License-Identifier: Apache-2.0
#include "pattern/compiled.h"

#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>
#include <utility>

namespace garthwright::pattern {
namespace {

/// Compiled files by path and text: a file that has changed is another one.
class Kept {
 public:
  using Code = std::shared_ptr<const std::string>;

  Code find(const ShelfFile& file) {
    const std::lock_guard lock(mutex_);
    const auto at = codes_.find({file.path, file.bytes});
    return at == codes_.end() ? nullptr : at->second;
  }

  void keep(const ShelfFile& file, Code code) {
    const std::lock_guard lock(mutex_);
    if (codes_.size() >= kMost) codes_.clear();
    codes_[{file.path, file.bytes}] = std::move(code);
  }

 private:
  static constexpr std::size_t kMost = 16;  // far more than a job has patterns, and at most a few MB
  std::mutex mutex_;
  std::map<std::pair<std::string, std::string>, Code> codes_;
};

Kept& kept() {
  static Kept all;
  return all;
}

int append(lua_State*, const void* bytes, std::size_t size, void* to) {
  static_cast<std::string*>(to)->append(static_cast<const char*>(bytes), size);
  return 0;
}

}  // namespace

void push_compiled(lua_State* lua, const ShelfFile& file) {
  const std::string chunk = "@" + file.path;
  if (const Kept::Code known = kept().find(file)) {
    if (luaL_loadbufferx(lua, known->data(), known->size(), chunk.c_str(), "b") != LUA_OK) lua_error(lua);
    return;
  }
  std::string_view text = file.bytes;
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);  // some editors put a byte order mark before UTF-8
  if (luaL_loadbufferx(lua, text.data(), text.size(), chunk.c_str(), "t") != LUA_OK) lua_error(lua);
  std::string code;
  if (lua_dump(lua, append, &code, 0) == 0) kept().keep(file, std::make_shared<const std::string>(std::move(code)));
}

}  // namespace garthwright::pattern
