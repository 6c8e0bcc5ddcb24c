-- SPDX-License-Identifier: Apache-2.0
-- A planter: a box or trough of mitred boards, straight or wider at the top, on bearers that keep it off the ground, with
-- an open floor. It stands loose: its weight holds it. Plumb boards are screwed to posts inside the corners; leaning ones are
-- held by brackets there, for screws through a mitre would end in end grain. Long sides are tied to one another between.
--
--   x  along the front, 0 at the left outer corner of its foot
--   y  from the foot of its front face to the back
--   z  up from what it stands on
--
--      ╲══════════╱
--       ╲════════╱    boards lean out by `splay`; corners are cut from corner to corner
--        ╲══════╱
--        ▪ ▪  ▪ ▪     bearers

local box = shared "box"

local pattern = {
  name = "planter",
  title = "Planter",
  help = "A box or trough of mitred boards, straight or tapered, with an open floor on bearers.",
  choices = {
    { name = "length", unit = "length", least = 250, most = 2400, default = 900, group = "Size", help = "along the front, at the foot, outside" },
    { name = "width", unit = "length", least = 250, most = 1200, default = 400, group = "Size", help = "front to back, at the foot, outside" },
    { name = "splay", unit = "number", least = 0, most = 20, default = 0, group = "Shape", help = "degrees that its sides lean out from plumb" },
  },
}
for _, choice in ipairs(box.choices(function(c) return c.length end)) do table.insert(pattern.choices, choice) end

function pattern.build(c)
  local made = box.build(c, c.length, c.width, "")
  -- Nothing but its weight holds it.
  stand_loose(made.bearers, { on = c.stands_on, soil = made.dry_soil })
end

return pattern
