-- SPDX-License-Identifier: Apache-2.0
-- A bench between two planters: slats across two rails, on legs that are screwed to the planters' inner ends. It stands loose: the
-- weight of the soil holds it.
--
--   x  along the front, 0 at the left planter's outer face
--   y  from the planters' front faces to the back
--   z  up from what it stands on
--
--      ┌──────┐ ▯▯▯▯▯▯▯▯▯▯▯▯▯▯▯▯ ┌──────┐   slats across
--      │      │══════════════════│      │   a rail before and one behind
--      │      │║                ║│      │   legs, screwed to the boards beside them
--      └──────┘╨                ╨└──────┘

local measures = shared "measures"
local seats = shared "seats"
local box = shared "box"

local pattern = {
  name = "planter-bench",
  title = "Bench between planters",
  help = "Two planters with a seat of slats between them.",
  choices = {
    { name = "persons", unit = "count", least = 1, most = 4, default = 2, group = "Size", help = "who sit side by side, 600 each" },
    { name = "seat", unit = "length", least = 400, most = 2700, group = "Size",
      default = function(c) return c.persons * 600 end, help = "length of the seat, clear between the planters" },
    { name = "planter", unit = "length", least = 350, most = 1500, group = "Size", default = function() return measures.usual(450, 20) end,
      help = "length of each planter, along the front" },
    { name = "width", unit = "length", least = 350, most = 700, group = "Size", default = function() return measures.usual(450, 18) end,
      help = "of planters and seat, front to back" },
    { name = "seat_height", unit = "length", least = 300, most = 620, default = 450, group = "Size", help = "top of the seat above the ground: 430 to 480 for most" },
    { name = "slat", unit = "section", role = "slat", group = "Timber", help = "slats of the seat, from front to back" },
    { name = "slats", unit = "count", least = 4, most = 80, group = "Kind",
      default = function(c) return math.floor((mm(c.seat) - 12 + 5) / (mm(c.slat.width) + 5)) end, help = "slats of the seat, 7 apart at most" },
    { name = "rail", unit = "section", role = "frame", group = "Timber", help = "rails under the slats, on edge" },
    { name = "leg", unit = "section", role = "post", group = "Timber",
      default = function() return measures.metric() and "post_large" or nil end, help = "legs under the rails' ends: wide, as the wind presses the rails on their edges" },
  },
}
for _, choice in ipairs(box.choices(function(c) return c.planter end, true)) do table.insert(pattern.choices, choice) end

function pattern.build(c)
  seats.check_height(c)
  local left_of_seat = c.planter
  local rail_top = c.seat_height - c.slat.thickness
  local leg_top = rail_top - c.rail.width
  local made = box.build(c, c.planter, c.width, "left planter ", true)

  -- ---- legs at the left planter: as many courses of its end as they pass hold each ------------------------------------------------
  local inset = named("behind the seat's edge", 40)
  local legs = {}
  for _, row in ipairs({ { "back", c.width - inset - c.leg.width }, { "front", inset } }) do
    local where, y = row[1], row[2]
    local leg = place { name = "leg", where = "left " .. where, role = "post", duty = "seat", section = c.leg, runs = "up", wide = "back",
      length = leg_top, at = { x = left_of_seat, y = y, z = 0 } }
    for _, ring in ipairs(made.rings) do
      if try_meet(ring[2], leg) then
        if mm(leg.top) - mm(ring[2].bottom) > 60 then
          connect { bodies = { ring[2], leg }, kinds = { "structural screw" }, count = 1, least = 5.5, load = 600 }
        else
          rest(ring[2], { leg }, "held by the boards below")
        end
      end
    end
    legs[where] = leg
    table.insert(made.all, leg)
  end

  -- ---- the right planter and its legs ------------------------------------------------------------------------------------------------
  local copies = mirror(made.all, { across = "right", at = left_of_seat + c.seat / 2 })
  local bearers, right_legs = {}, { back = copies[#copies - 1], front = copies[#copies] }
  for i, piece in ipairs(made.all) do
    for _, bearer in ipairs(made.bearers) do
      if piece == bearer then
        table.insert(bearers, bearer)
        table.insert(bearers, copies[i])
      end
    end
  end

  -- ---- rails on the legs, slats across them ---------------------------------------------------------------------------------------------
  local rails = {}
  for where, leg in pairs(legs) do
    local y = leg.front + (c.leg.width - c.rail.thickness) / 2
    local rail = place { name = "seat rail", where = where, role = "beam", duty = "beam", section = c.rail, runs = "right", wide = "up", length = c.seat - 4,
      at = { x = left_of_seat + named("clear of the planter", 2), y = y, z = leg_top } }
    for _, one in ipairs({ leg, right_legs[where] }) do
      meet(rail, one)
      connect { bodies = { rail, one }, kinds = { "angle bracket" }, count = 1, least = 4, load = 1250 }
    end
    table.insert(rails, rail)
  end
  local row = c.seat - 12
  local gap = (row - c.slats * c.slat.width) / (c.slats - 1)
  if mm(gap) < 3 then refuse("slats", c.slats .. " slats do not fit into the seat", "give fewer") end
  -- Wider gaps catch a child's finger; what is over is left at both ends.
  gap = least(gap, named("gap", 7))
  local first = left_of_seat + (c.seat - c.slats * c.slat.width - (c.slats - 1) * gap) / 2
  for k = 1, c.slats do
    local slat = place { name = "seat slat", where = "number " .. k, role = "board", duty = "seat", section = c.slat, runs = "back", wide = "right",
      length = c.width, at = { x = first + (k - 1) * (c.slat.width + gap), y = 0, z = rail_top } }
    for _, rail in ipairs(rails) do
      meet(slat, rail)
      connect { bodies = { slat, rail }, kinds = { "screw" }, count = 1, most = 2, least = measures.metric() and 4.4 or 4.7, load = measures.metric() and 300 or 500 }
    end
  end

  -- Nothing but its weight holds it.
  stand_loose(bearers, { on = c.stands_on, soil = made.dry_soil })
  stand_loose({ legs.front, legs.back, right_legs.front, right_legs.back }, { on = c.stands_on })
end

return pattern
