-- SPDX-License-Identifier: Apache-2.0
-- A garden bench: slats on bearers between pairs of legs, with a leaning back where it is wanted. Its legs stand in the
-- ground, so that it neither tips nor racks.
--
--   x  along the seat, 0 at its left end
--   y  from the seat's front edge to the back
--   z  up from the ground
--
--                       ╱ back slats on leaning battens
--                      ╱
--        ▬▬▬▬▬▬▬▬▬▬▬▬ ╱   seat slats
--        ═══bearer══════   on the legs' tops, with brackets under it
--         ║         ║╱     battens bolted to bearer and back leg
--       ──╨─────────╨──
--
-- Arms stand beside the seat on legs of their own, so that nothing of seat and back is cut for them.

local measures = shared "measures"
local seats = shared "seats"

local pattern = {
  name = "bench",
  title = "Bench",
  help = "Slats on bearers and legs, backless or with a leaning back.",
  choices = {
    { name = "persons", unit = "count", least = 1, most = 6, default = 3, group = "Size", help = "who sit side by side, 600 each" },
    { name = "length", unit = "length", least = 450, most = 4200, group = "Size",
      default = function(c) return c.persons * 600 end, help = "of the seat" },
    { name = "kind", unit = "option", options = { "backless", "with back", "with arms" }, default = "with back", group = "Kind",
      help = "what it has; arms come with a back, and help whoever rises from it" },
    { name = "seat_height", unit = "length", least = 300, most = 620, default = 450, group = "Size",
      help = "front edge of the seat above the ground: 430 to 480 for most, lower for children, 470 to rise from easily" },
    { name = "fall", unit = "number", least = 0, most = 8, group = "Kind",
      default = 0, help = "degrees that the seat falls to the back; brackets under the bearers want it level" },
    { name = "back", unit = "length", least = 250, most = 700, default = 450, group = "Size", help = "length of the back along its slope" },
    { name = "lean", unit = "number", least = 0, most = 25, default = 10, group = "Kind", help = "degrees that the back leans from plumb: 5 to 8 is easier to rise from" },
    { name = "back_gap", unit = "length", least = 10, most = 120, default = 40, group = "Size", help = "clear between the seat and the lowest back slat" },
    { name = "arm", unit = "length", least = 150, most = 320, default = 220, group = "Size",
      help = "top of the arms above the seat's front edge: 180 to 250" },
    { name = "slat", unit = "section", role = "slat", group = "Timber", help = "slats of the seat, boards of the arms" },
    { name = "slats", unit = "count", least = 2, most = 20, group = "Kind",
      default = function(c) return seats.slats(c, c.kind == "backless" and 400 or 430) end,
      help = "slats of the seat, evenly spaced" },
    { name = "depth", unit = "length", least = 150, most = 700, group = "Size",
      default = function(c) return seats.depth(c) end, help = "of the seat, along its slope" },
    { name = "back_slat", unit = "section", role = "back_slat", group = "Timber", help = "slats of the back" },
    { name = "back_slats", unit = "count", least = 2, most = 12, group = "Kind",
      default = function(c) return math.max(2, math.floor((mm(c.back) + 32) / (mm(c.back_slat.width) + 32))) end,
      help = "slats of the back, evenly spaced" },
    { name = "frame", unit = "section", role = "rail", group = "Timber", help = "bearers and back battens" },
    { name = "leg", unit = "section", role = "post", group = "Timber",
      -- What stands in the ground is bought for the ground; where all that a yard sells is, the frame's own will do.
      default = function() return not measures.metric() and "rail" or nil end, help = "legs: as thick as the frame or thicker" },
    { name = "frame_every", unit = "length", least = 250, most = 1500, group = "Timber",
      -- Two slats share somebody of 1112 N: 28 thick spans about 600, 45 about 1200 (computed, L/150).
      default = function(c)
        local t = mm(c.slat.thickness)
        return t < 25 and 350 or t < 34 and 600 or t < 42 and 900 or 1200
      end,
      help = "farthest from frame to frame, clear" },
    { name = "in_ground", unit = "length", least = 200, most = 900, default = 450, group = "Ground", help = "how far the legs stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 500, default = 250, group = "Ground", help = "width of the holes" },
  },
}

local function check(c)
  seats.check_height(c)
  local back_gap = (mm(c.back) - c.back_slats * mm(c.back_slat.width)) / (c.back_slats - 1)
  if c.kind ~= "backless" and back_gap < 3 then
    refuse("back_slats", c.back_slats .. " slats do not fit into a back of " .. print_length(c.back), "give fewer, or a higher back")
  end
  local span = seats.longest_span(c.slat)
  if mm(c.frame_every) > span then
    remark("frame_every", "slats " .. print_length(c.slat.thickness) .. " thick bend too much over " .. print_length(c.frame_every),
      "at most " .. print_length(span))
  end
end

function pattern.build(c)
  check(c)
  local f, L = c.frame, c.length
  local ft, fw = f.thickness, f.width
  local lt, lw = c.leg.thickness, c.leg.width
  local a = math.rad(c.fall)
  local cos, sin = math.cos(a), math.sin(a)
  local with_back = c.kind ~= "backless"
  local lean = math.rad(c.lean)
  local front_z = c.seat_height       -- top of the seat's front edge
  -- The seat's underside along its slope: `s` from the front edge.
  local function under(s)
    return { y = c.slat.thickness * (-1 * sin) + s * cos, z = front_z - c.slat.thickness * cos - s * sin }
  end

  -- ---- frames --------------------------------------------------------------------------------------------------------
  -- Legs carry the bearers on their tops; a back batten stands beside bearer and back leg and is bolted to both.
  local each = ft * (with_back and 2 or 1)
  local beyond = named("slats beyond the frames", 50)   -- so that their screws stand clear of their ends
  local n = math.max(2, math.ceil((mm(L) - 2 * mm(beyond) - mm(each)) / (mm(c.frame_every) + mm(each)) - 1e-9) + 1)
  local frames = {}
  local leg_front, leg_back = 40, mm(c.depth) * cos - (with_back and 12 or mm(lw) + 40)
  for i, x in ipairs(spread { count = n, from = beyond, to = L - beyond, width = each }) do
    local where = "number " .. i
    local function leg(name, y, top)
      -- Flush with the bearer on the side where its batten is bolted to both.
      local flush = x + ft - lt
      local ground = ground_at(flush + lt / 2, y + lw / 2)
      local piece = place { name = "leg", where = where .. " " .. name, role = "post", section = c.leg, runs = "up", wide = "back",
        length = top - ground + c.in_ground, at = { x = flush, y = y, z = ground - c.in_ground }, duty = "seat" }
      if c.fall > 0 then bevel(piece, { ends = "finish", looks = { y = sin, z = cos } }) end
      post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
      return piece
    end
    local from, to = under(named("front of the bearer", 0)), under(with_back and c.depth + c.back_slat.thickness + fw + 45 or c.depth)
    local bearer = lay { name = "bearer", where = where, role = "beam", duty = "nothing", section = f, wide = "up", edge = "high", lies = "right",
      from = { x = x, y = from.y, z = from.z }, to = { x = x, y = to.y, z = to.z } }
    -- A leg's top is cut to the slope of the bearer on it.
    local function below(y) return under((y + c.slat.thickness * sin) / cos).z - fw / cos end
    local front, back = leg("front", leg_front, below(leg_front)), leg("back", leg_back, below(leg_back))
    meet(bearer, front)
    meet(bearer, back)
    frames[i] = { x = x, front = front, back = back, bearer = bearer }
  end

  -- ---- the seat ------------------------------------------------------------------------------------------------------------
  local gap = seats.gap(c, c.depth)
  seats.mind_fingers(gap)
  local seat = {}
  for k = 1, c.slats do
    local at = under((c.slat.width + gap) * (k - 1))
    local piece = lay { name = "seat slat", where = "number " .. k, role = "board", duty = "seat", section = c.slat, wide = "back", turn = -1 * c.fall,
      lies = "up", from = { x = 0, y = at.y, z = at.z }, to = { x = L, y = at.y, z = at.z } }
    for _, frame in ipairs(frames) do
      if try_meet(piece, frame.bearer) then
        -- Thin ones: at 22 mm from the edges of a bearer 44 thick a thicker one splits it where the whole bench leans.
        connect { bodies = { piece, frame.bearer }, kinds = { "screw", "structural screw" }, count = 1, most = 2,
          least = measures.metric() and 4.4 or 4.5, load = measures.metric() and 300 or 500 }
      end
    end
    table.insert(seat, piece)
  end
  -- Brackets sit where nothing else is, so they come when all stands.
  local function hold_bearers()
    for _, frame in ipairs(frames) do
      for _, leg in ipairs({ frame.front, frame.back }) do
        connect { bodies = { frame.bearer, leg }, kinds = { "angle bracket", "structural screw", "screw" }, count = 1, least = 4.5, load = 1250, alike = "leg to bearer" }
      end
    end
  end
  if not with_back then
    hold_bearers()
    return
  end

  -- ---- the back: battens that lean, bolted to bearers and back legs ------------------------------------------------
  local rear = under(c.depth)
  local foot_s = 260                    -- below the seat, along the batten
  -- The face that is leant on begins at the seat's rear edge.
  local face_y, face_z = rear.y, rear.z + c.slat.thickness * cos
  local function on_back(s) return { y = face_y + s * math.sin(lean), z = face_z + s * math.cos(lean) } end
  local battens = {}
  for i, frame in ipairs(frames) do
    local low, high = on_back(named("below the seat", -1 * foot_s)), on_back(c.back_gap + c.back + named("above the top slat", 15))
    -- The batten's front lies one slat behind that face.
    local back_y, back_z = c.back_slat.thickness * math.cos(lean), -1 * c.back_slat.thickness * math.sin(lean)
    local x = frame.x + ft
    local batten = lay { name = "back batten", where = "number " .. i, role = "post", duty = "nothing", section = f, wide = "back", edge = "low", lies = "right",
      ends = "square", from = { x = x, y = low.y + back_y, z = low.z + back_z }, to = { x = x, y = high.y + back_y, z = high.z + back_z } }
    meet(batten, frame.bearer)
    connect { bodies = { batten, frame.bearer }, kinds = { "bolt", "coach bolt" }, count = 1, least = 7.5, load = 1400 }
    meet(batten, frame.back)
    connect { bodies = { batten, frame.back }, kinds = { "bolt", "coach bolt" }, count = 1, least = 7.5, load = 1400 }
    battens[i] = batten
  end
  local bgap = derive("gap", (mm(c.back) - c.back_slats * mm(c.back_slat.width)) / (c.back_slats - 1), "(back − " .. c.back_slats .. " slats) / "
    .. (c.back_slats - 1), c.back, c.back_slat.width)
  for k = 1, c.back_slats do
    local s = c.back_gap + (c.back_slat.width + bgap) * (k - 1)
    local at = on_back(s)
    local piece = lay { name = "back slat", where = "number " .. k, role = "board", duty = "guard", section = c.back_slat, wide = "up", turn = -1 * c.lean,
      lies = "back", from = { x = 0, y = at.y, z = at.z }, to = { x = L, y = at.y, z = at.z } }
    for _, batten in ipairs(battens) do
      if try_meet(piece, batten) then fix { through = { piece, batten }, count = 2, least = 4 } end
    end
  end
  hold_bearers()
  if c.kind ~= "with arms" then return end

  -- ---- arms: a rail on two legs beside the seat, and a board on it that reaches back to the battens -----------------------------
  local top = front_z + c.arm
  local rail_z = top - c.slat.thickness - fw
  local back_leg = mm(rear.y) - 40 - mm(lw)
  for _, side in ipairs({ { "left", -1 * ft - 5 }, { "right", L + 5 } }) do
    local where, x = side[1], side[2]
    local legs = {}
    for _, at in ipairs({ { "front", leg_front }, { "back", back_leg } }) do
      local off = side[1] == "left" and x + ft - lt or x        -- flush with the rail's side at the seat
      local ground = ground_at(off + lt / 2, at[2] + lw / 2)
      local leg = place { name = "leg", where = where .. " arm " .. at[1], role = "post", section = c.leg, runs = "up", wide = "back",
        length = rail_z - ground + c.in_ground, at = { x = off, y = at[2], z = ground - c.in_ground }, duty = "seat" }
      post_in_ground(leg, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
      table.insert(legs, leg)
    end
    local rail = place { name = "arm rail", where = where, role = "rail", duty = "nothing", section = f, runs = "back", wide = "up",
      length = rear.y - leg_front + 20, at = { x = x, y = named("before the leg", leg_front - 20), z = rail_z } }
    for _, leg in ipairs(legs) do
      meet(rail, leg)
      connect { bodies = { rail, leg }, kinds = { "angle bracket" }, count = 1, least = 4, load = 1250 }
    end
    local board = place { name = "arm", where = where, role = "board", duty = "seat", section = c.slat, runs = "back", wide = "right",
      length = rail.length, at = { x = x + ft / 2 - c.slat.width / 2, y = rail.front, z = rail_z + fw } }
    meet(board, rail)
    fix { through = { board, rail }, count = 4, every = 160, least = 4 }
  end
end

return pattern
