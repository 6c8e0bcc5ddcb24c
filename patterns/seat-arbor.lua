-- SPDX-License-Identifier: Apache-2.0
-- An arbor with a bench between its sides: four posts, beams and rafters above, a seat on bearers, a leaning back.
--
--   x  between the sides, 0 at the left posts' inner faces
--   y  from the front posts' front faces to the back
--   z  up from the ground, counted from finished paving
--
--       ‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾
--      ═══════════════════
--         ║           ║
--         ║▭▭▭▭▭▭▭▭▭▭▭║   back
--         ║═══════════║   seat
--      ───╨───────────╨───

local measures = shared "measures"
local seats = shared "seats"
local feet = shared "feet"

local pattern = {
  name = "seat-arbor",
  title = "Seat arbor",
  help = "An arbor for two or three to sit in: posts, beams, rafters, a seat with a leaning back, arm rails at the sides.",
  choices = {
    { name = "persons", unit = "count", least = 1, most = 4, default = 2, group = "Size", help = "who sit side by side" },
    { name = "clear", unit = "length", least = 600, most = 3000, group = "Size",
      default = function(c) return c.persons * 600 + 100 end, help = "clear between the side posts" },
    { name = "depth", unit = "length", least = 600, most = 1200, default = 700, group = "Size", help = "clear between front and back posts" },
    { name = "height", unit = "length", least = 1900, most = 2600, default = 2150, group = "Size", help = "of the posts above the ground" },
    { name = "seat_height", unit = "length", least = 380, most = 560, default = 450, group = "Seat", help = "front edge of the seat above finished ground" },
    { name = "seat_depth", unit = "length", least = 300, most = 520, default = 440, group = "Seat", help = "of the seat, along its slope" },
    { name = "fall", unit = "number", least = 0, most = 6, default = 0, group = "Seat", help = "degrees that the seat falls to the back; brackets under the bearers want it level" },
    { name = "slat", unit = "section", role = "slat", group = "Timber", help = "slats of the seat" },
    { name = "slats", unit = "count", least = 3, most = 12, group = "Seat",
      default = function(c) return math.max(3, math.floor((mm(c.seat_depth) + 10) / (mm(c.slat.width) + 8))) end, help = "slats of the seat" },
    { name = "back", unit = "length", least = 250, most = 600, default = 450, group = "Seat", help = "length of the back along its slope" },
    { name = "lean", unit = "number", least = 3, most = 20, default = 10, group = "Seat", help = "degrees that the back leans" },
    { name = "back_gap", unit = "length", least = 10, most = 100, default = 40, group = "Seat", help = "clear between the seat and the lowest back slat" },
    { name = "arm", unit = "length", least = 150, most = 300, default = 220, group = "Seat", help = "top of the arm rails above the seat's front edge" },
    { name = "back_slat", unit = "section", role = "back_slat", group = "Timber", help = "slats of the back" },
    { name = "back_slats", unit = "count", least = 2, most = 10, group = "Seat",
      default = function(c) return math.max(2, math.floor((mm(c.back) + 30) / (mm(c.back_slat.width) + 30))) end, help = "slats of the back" },
    { name = "slats_past", unit = "length", least = 0, most = 45, default = 40, group = "Seat",
      help = "slats beyond the clear width, past the outer bearers, so that their screws stand clear of their ends; 0 lets them end between the posts" },
    { name = "let_in", unit = "length", least = 0, most = 25, default = 16, group = "Shape",
      help = "how far beams and the outer bearers are let into the posts, whose shoulders carry them; 0 leaves that to bolts" },
    { name = "bearer", unit = "section", role = "frame", group = "Timber", help = "bearers, battens of the back, arm rails" },
    { name = "leg", unit = "section", role = "post", group = "Timber",
      -- What stands in the ground is bought for the ground; where all that a yard sells is, the bearers' own will do.
      default = function() return not measures.metric() and "frame" or nil end, help = "legs of the seat, where it has any between its ends: as thick as the bearers or thicker" },
    feet.choice(),
    { name = "post", unit = "section", role = "post", group = "Timber",
      -- A 4x4 that is leant on drags the seat along, more than the seat's screws hold by the American rules.
      default = function(c) return measures.metric() and not feet.on_shoes(c) and "post" or "post_large" end, help = "posts" },
    { name = "beam", unit = "section", role = "fascia", group = "Timber",
      default = function(c) return mm(c.clear) > 1500 and "beam_large" or nil end, help = "beams before and behind the posts" },
    { name = "rafter", unit = "section", role = "rafter", group = "Timber", help = "rafters" },
    { name = "rafters", unit = "count", least = 2, most = 12, group = "Size",
      default = function(c) return math.max(3, math.floor(mm(c.clear) / 400 + 0.5) + 1) end, help = "how many rafters" },
    { name = "side_overhang", unit = "length", least = 0, most = 500, default = 200, group = "Size", help = "beams beyond the posts" },
    { name = "front_overhang", unit = "length", least = 0, most = 500, default = 200, group = "Size", help = "rafters beyond the beams" },
    { name = "rafter_end", unit = "profile", default = "quarter round", group = "Shape", help = "shape of the rafters' ends" },
    { name = "in_ground", unit = "length", least = 400, most = 1500, group = "Ground",
      default = function(c) return feet.on_shoes(c) and measures.usual(1300, 46) or measures.usual(math.floor(mm(c.height) / 100 + 0.5) * 50, 48) end,
      help = "how far the posts stand in the ground; half the height lets them stand without braces. Of pads, how deep they are" },
    { name = "hole_diameter", unit = "length", least = 200, most = 700, group = "Ground", default = function(c) return feet.on_shoes(c) and measures.usual(450, 16) or 300 end, help = "width of the holes, or of the pads" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground", help = "compacted gravel under each post" },
    { name = "leg_in_ground", unit = "length", least = 300, most = 900, group = "Ground",
      default = function(c) return (c.persons == 1 or c.persons == 4 or feet.on_shoes(c) and c.persons == 3) and 600 or 450 end,
      help = "how far the legs stand in the ground, where the seat has any between its ends" },
  },
}

function pattern.build(c)
  local p, t, C = c.post.width, c.bearer.thickness, c.clear
  local a, lean = math.rad(c.fall), math.rad(c.lean)
  local cos, sin = math.cos(a), math.sin(a)
  local front_z = c.seat_height
  seats.check_height(c)
  if mm(c.slat.thickness) < 25 then
    remark("slat", "slats " .. print_length(c.slat.thickness) .. " thick bend too much between bearers 600 apart", "slats of 28 mm or more")
  end
  local gap = seats.gap(c, c.seat_depth)
  local bgap = derive("gap", (mm(c.back) - c.back_slats * mm(c.back_slat.width)) / (c.back_slats - 1), "(back − " .. c.back_slats .. " slats) / "
    .. (c.back_slats - 1), c.back, c.back_slat.width)
  if mm(bgap) < 3 then refuse("back_slats", "the slats do not fit into the back", "give fewer") end

  -- Rafters are let down over the beams; the posts' heads end a little below the beams' tops, between the rafters.
  local bite, let_in = 0.4 * c.rafter.width, c.let_in
  local head_z = c.height + bite - named("below the beams' tops", 10)

  -- ---- posts -------------------------------------------------------------------------------------------------------------
  local function post(where, x, y)
    local ground = ground_at(x + p / 2, y + p / 2)
    local piece = place { name = "post", where = where, role = "post", duty = "climber", section = c.post, runs = "up", wide = "back", straight = true,
      length = head_z - ground - feet.begins(c), at = { x = x, y = y, z = ground + feet.begins(c) } }
    feet.set(c, piece)
    return piece
  end
  local rear_y = p + c.depth
  local left = { front = post("left front", -1 * p, 0), back = post("left back", -1 * p, rear_y) }
  local right = { front = post("right front", C, 0), back = post("right back", C, rear_y) }
  local posts = { left.front, left.back, right.front, right.back }

  -- ---- arm rails, between front and back posts of each side -----------------------------------------------------------------
  for _, side in ipairs({ { "left", left, -1 * p }, { "right", right, C + p - t } }) do
    local rail = butt { name = "arm rail", where = side[1], role = "rail", duty = "guard", section = c.bearer, between = { side[2].front, side[2].back },
      runs = "back", wide = "up", at = { x = side[3], z = front_z + c.arm - c.bearer.width } }
    for _, one in ipairs({ side[2].front, side[2].back }) do connect { bodies = { one, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1250 } end
  end

  -- ---- the seat stands as far back as its leaning back lets it: the back's slats pass before the back posts ------------------
  local setback = (c.back + c.back_gap) * math.sin(lean)
  local seat_y = rear_y - named("clear of the posts", 3) - (c.seat_depth * cos + setback + c.back_slat.thickness / math.cos(lean))
  if mm(seat_y) < 20 then
    refuse("depth", "the seat and its back do not fit between the posts", "a depth of at least " .. print_length(c.depth + named("short", 20) - seat_y))
  end
  local function under(s)
    return { y = seat_y + c.slat.thickness * (-1 * sin) + s * cos, z = front_z - c.slat.thickness * cos - s * sin }
  end
  local rear = under(c.seat_depth)
  local face_y, face_z = rear.y, rear.z + c.slat.thickness * cos
  local function on_back(s) return { y = face_y + s * math.sin(lean), z = face_z + s * math.cos(lean) } end
  local head = on_back(c.back_gap + c.back + named("above the top slat", 30))
  -- The battens' front lies one slat behind the face that is leant on.
  local b = c.back_slat.thickness
  local behind_y, behind_z = b * math.cos(lean), -1 * b * math.sin(lean)

  -- At both ends bearers run past the posts, so that their bolts stand clear of their ends. Between them they lie on legs of
  -- their own, as a bench's do.
  local bearers, battens, legs = {}, {}, {}
  local middles = math.max(1, math.ceil((mm(C) - 2 * mm(t)) / 650 - 1e-9) - 1)
  local n = middles + 2
  local w = c.bearer.width
  for i, x in ipairs(spread { count = n, from = 0, to = C, width = t }) do
    local ends = i == 1 or i == n
    local horn = named("horn", 40)
    local from, to
    if ends then
      from, to = under((-1 * seat_y - horn) / cos), under((rear_y + p + horn - seat_y) / cos)
    else
      from, to = under(named("front of the bearer", 0)), under(c.seat_depth + b + w + 45)
    end
    -- Those at the ends are let a little into their posts, whose shoulders carry them.
    local at = ends and (i == 1 and x - let_in or x + let_in) or x
    local bearer = lay { name = "bearer", where = "number " .. i, role = "beam", duty = "nothing", section = c.bearer, wide = "up", edge = "high", lies = "right",
      from = { x = at, y = from.y, z = from.z }, to = { x = at, y = to.y, z = to.z } }
    bearers[i] = bearer
    if ends then
      local side = i == 1 and left or right
      for _, one in ipairs({ side.front, side.back }) do
        if mm(let_in) > 0 then notch(bearer, one, { into = i == 1 and "left" or "right", share = 0 }) else meet(bearer, one) end
        connect { bodies = { bearer, one }, kinds = { "bolt", "coach bolt" }, count = 1, least = 7.5, load = 1500 }
      end
      -- The back's batten stands on it, leans, and is bolted to the post beside it.
      local foot = under(c.seat_depth)
      local tan = math.tan(a)
      local s0 = (foot.z - face_z - behind_z - (face_y + behind_y - foot.y) * tan) / (math.cos(lean) + math.sin(lean) * tan)
      local batten = lay { name = "back batten", where = "number " .. i, role = "post", duty = "nothing", section = c.bearer, wide = "back", edge = "low", lies = "right",
        ends = "square", from = { x = x, y = face_y + behind_y + s0 * math.sin(lean), z = face_z + behind_z + s0 * math.cos(lean) },
        to = { x = x, y = head.y + behind_y, z = head.z + behind_z } }
      bevel(batten, { ends = "start", looks = { y = -1 * sin, z = -1 * cos } })
      meet(batten, bearer, "mitre")
      rest(batten, { bearer }, "stands on it, held at its head")
      meet(batten, side.back)
      connect { bodies = { batten, side.back }, kinds = { "bolt", "coach bolt", "structural screw" }, count = 1, least = 7.5, load = 1400 }
      battens[i] = batten
    else
      local back_y = rear.y - 12
      for _, at in ipairs({ { "front", seat_y + 40 }, { "back", back_y } }) do
        -- Flush with the bearer on the side where the batten is bolted to both.
        local flush = x + t - c.leg.thickness
        local ground = ground_at(flush + c.leg.thickness / 2, at[2] + c.leg.width / 2)
        local leg = place { name = "leg", where = at[1] .. " number " .. (i - 1), role = "post", duty = "seat", section = c.leg, runs = "up", wide = "back",
          length = under((at[2] - seat_y + c.slat.thickness * sin) / cos).z - w / cos - ground + c.leg_in_ground,
          at = { x = flush, y = at[2], z = ground - c.leg_in_ground } }
        if c.fall > 0 then bevel(leg, { ends = "finish", looks = { y = sin, z = cos } }) end
        post_in_ground(leg, { diameter = 250, depth = c.leg_in_ground, fill = "concrete" })
        meet(bearer, leg)
        table.insert(legs, { bearer, leg })
      end
      local low = on_back(named("below the seat", -280))
      local batten = lay { name = "back batten", where = "number " .. i, role = "post", duty = "nothing", section = c.bearer, wide = "back", edge = "low", lies = "right",
        ends = "square", from = { x = x + t, y = low.y + behind_y, z = low.z + behind_z }, to = { x = x + t, y = head.y + behind_y, z = head.z + behind_z } }
      for _, one in ipairs({ bearer, legs[#legs][2] }) do
        meet(batten, one)
        connect { bodies = { batten, one }, kinds = { "bolt", "coach bolt" }, count = 1, least = 7.5, load = 1400 }
      end
      battens[i] = batten
    end
  end

  -- ---- slats of seat and back: they pass between the posts, so that their screws stand clear of their ends -------------------------
  local past, past_back = mm(c.slats_past) > 0 and c.slats_past + let_in or c.slats_past, c.slats_past
  for k = 1, c.slats do
    local at = under((c.slat.width + gap) * (k - 1))
    local slat = lay { name = "seat slat", where = "number " .. k, role = "board", duty = "seat", section = c.slat, wide = "back", turn = -1 * c.fall,
      lies = "up", from = { x = -1 * past, y = at.y, z = at.z }, to = { x = C + past, y = at.y, z = at.z } }
    for _, bearer in ipairs(bearers) do
      if try_meet(slat, bearer) then
        fix { through = { slat, bearer }, kind = "screw", count = measures.metric() and 2 or 3, least = measures.metric() and 4.4 or 4.7 }
      end
    end
    rest(slat, posts, "screwed to the bearers")
    rest(slat, battens, "screwed to the bearers")
  end
  for k = 1, c.back_slats do
    local at = on_back(c.back_gap + (c.back_slat.width + bgap) * (k - 1))
    local slat = lay { name = "back slat", where = "number " .. k, role = "board", duty = "guard", section = c.back_slat, wide = "up", turn = -1 * c.lean,
      lies = "back", from = { x = -1 * past_back, y = at.y, z = at.z }, to = { x = C + past_back, y = at.y, z = at.z } }
    for _, batten in ipairs(battens) do
      if try_meet(slat, batten) then
        fix { through = { slat, batten }, kind = "screw", count = 2, least = measures.metric() and 3.9 or 4.7 }
      end
    end
    rest(slat, posts, "screwed to the battens")
  end
  -- Brackets sit where nothing else is, so they come when all stands.
  for _, pair in ipairs(legs) do
    connect { bodies = { pair[1], pair[2] }, kinds = { "angle bracket", "structural screw", "screw" }, count = 1, least = 4.5, load = 1250, alike = "leg to bearer" }
  end

  -- ---- beams and rafters ------------------------------------------------------------------------------------------------------
  local from, to = -1 * p - c.side_overhang, C + p + c.side_overhang
  local function beam(where, y, pair, into)
    local piece = place { name = "beam", where = where, role = "fascia", duty = { "beam", "climber" }, section = c.beam, runs = "right", wide = "up", straight = true,
      length = to - from, at = { x = from, y = y, z = c.height + bite - c.beam.width } }
    for _, one in ipairs(pair) do
      -- Let a little into the post: its shoulder carries it, and one screw or bolt in the middle holds it there.
      if mm(let_in) > 0 then notch(piece, one, { into = into, share = 0 }) else meet(piece, one) end
      connect { bodies = { piece, one }, kinds = { "structural screw", "bolt", "coach bolt" }, count = 1, most = 1, least = 9, load = 1500 }
    end
    return piece
  end
  local front = beam("front", let_in - c.beam.thickness, { left.front, right.front }, "back")
  local back = beam("back", rear_y + p - let_in, { left.back, right.back }, "front")
  local long = back.back - front.front + 2 * c.front_overhang
  for i, x in ipairs(spread { count = c.rafters, from = named("beside the posts", 10), to = C - 10, width = c.rafter.thickness }) do
    local piece = place { name = "rafter", where = "number " .. i, role = "rafter", duty = { "roof", "climber" }, section = c.rafter, runs = "back", wide = "up",
      length = long, at = { x = x, y = front.front - c.front_overhang, z = c.height } }
    shape(piece, { ends = "both", profile = c.rafter_end, under = "down", room = c.front_overhang })
    for _, one in ipairs({ front, back }) do
      halve(piece, one)
      connect { bodies = { piece, one }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 2800 }
    end
    rest(piece, posts, "held by the halvings over the beams")
  end
end

return pattern
