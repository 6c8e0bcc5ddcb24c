-- SPDX-License-Identifier: Apache-2.0
local pattern = { name = "never-ends", title = "Never ends", help = "A pattern that loops for ever.",
  choices = { { name = "opening", unit = "length", least = 1, most = 9000, help = "a length" } } }
function pattern.build(c)
  while true do end
end
return pattern
