-- SPDX-License-Identifier: Apache-2.0
local pattern = { name = "falls-over", title = "Falls over", help = "A pattern with a mistake in it.",
  choices = { { name = "opening", unit = "length", least = 1, most = 9000, help = "a length" } } }
function pattern.build(c)
  local nothing
  return nothing.width
end
return pattern
