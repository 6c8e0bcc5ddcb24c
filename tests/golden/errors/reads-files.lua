-- SPDX-License-Identifier: Apache-2.0
local pattern = { name = "reads-files", title = "Reads files", help = "A pattern that tries to leave its box.",
  choices = { { name = "opening", unit = "length", least = 1, most = 9000, help = "a length" } } }
function pattern.build(c)
  return io.open("/etc/passwd")
end
return pattern
