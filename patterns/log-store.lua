-- SPDX-License-Identifier: Apache-2.0
-- A lean-to for logs or bins: four posts, a roof of boards that falls to the back, a slatted floor off the ground and
-- slats at both sides and the back that let the wind through.
--
--   x  along the front, 0 at the left post's outer face
--   y  from the front posts' front faces to the back
--   z  up from the ground at the origin
--
--       ▬▬▬▬▬▬▬▬▬▬▬▬▬   roof boards from front to back, on a beam at each
--       ║             ║
--       ║             ║  front open
--       ║▭▭▭▭▭▭▭▭▭▭▭▭▭║  floor on bearers, on a rail at the front and one at the back
--       ╨             ╨

-- A yard that counts in feet and inches has other sections, and its checks are other ones.
local metric = counts_in() == "mm"

-- Whose posts the wind on its slats bends too far where they are slender.
local function tall(c)
  if metric then return mm(c.height) > 1900 or mm(c.depth) > 1000 or mm(c.width) > 2700 and mm(c.height) > 1800 end
  return mm(c.height) > 1830 or mm(c.width) > 2290 and mm(c.height) > 1500 or mm(c.depth) > 1100
end

local pattern = {
  name = "log-store",
  title = "Log store",
  help = "A lean-to on four posts with a roof that falls to the back, a slatted floor, and slatted sides and back.",
  choices = {
    { name = "width", unit = "length", least = 800, most = 3600, default = 1800, group = "Size", help = "over the posts, along the front" },
    { name = "depth", unit = "length", least = 400, most = 1500, default = 700, group = "Size", help = "over the posts, front to back" },
    { name = "height", unit = "length", least = 800, most = 2400, default = 1700, group = "Size", help = "of the front posts above the ground" },
    { name = "fall", unit = "number", least = 5, most = 30, default = 10, group = "Size", help = "degrees that the roof falls to the back" },
    { name = "overhang", unit = "length", least = 0, most = 400, default = 50, group = "Size", help = "roof beyond the posts, front and back" },
    { name = "floor", unit = "yes-no", default = true, group = "Kind", help = "a slatted floor; without, for bins" },
    { name = "gap", unit = "length", least = 5, most = 120, default = 40, group = "Kind", help = "between the slats of sides and back" },
    { name = "board", unit = "section", role = "deck", group = "Timber",
      default = function(c) return not metric and (mm(c.depth) > 750 or tall(c)) and "beam" or nil end, help = "boards of the roof: somebody may hang from one" },
    { name = "beam", unit = "section", role = "post", group = "Timber",
      -- Under long boards wider ones, whose edges the screws keep off.
      default = function(c) return tall(c) and (not metric or mm(c.depth) > 1000) and "post_large" or nil end,
      help = "beams under the roof: at most as wide as the posts that they lie on" },
    { name = "rail", unit = "section", role = "beam", group = "Timber",
      default = function(c) return (mm(c.width) > 2000 or not metric) and "beam_large" or nil end, help = "rails of the floor, on edge: soft ones let its boards pull at their screws" },
    { name = "bearer", unit = "section", role = "frame", group = "Timber", help = "bearers of the floor" },
    { name = "slat", unit = "section", role = "cap", group = "Timber", help = "slats of sides and back" },
    { name = "floor_board", unit = "section", role = "deck", group = "Timber", help = "boards of the floor" },
    { name = "bearer_every", unit = "length", least = 200, most = 600, group = "Timber",
      -- The posts' sway pulls the floor's boards off wide and tall ones.
      default = function(c) return (mm(c.width) > 2400 or metric and tall(c)) and (metric and 270 or 250) or 380 end, help = "farthest from bearer to bearer of the floor" },
    { name = "post", unit = "section", role = "post", group = "Timber",
      default = function(c) return tall(c) and "post_large" or nil end, help = "posts" },
    { name = "in_ground", unit = "length", least = 300, most = 1500, group = "Ground",
      default = function(c) return tall(c) and not metric and (mm(c.width) > 2700 and 1350 or 1220) or 1000 end, help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 150, most = 600, default = 300, group = "Ground", help = "width of the holes" },
  },
}

function pattern.build(c)
  local p, t = c.post.width, c.slat.thickness
  local slope = math.rad(c.fall)
  local tan = math.tan(slope)
  if mm(c.depth) * tan > mm(c.height) / 2 then
    refuse("fall", "the back would be less than half as high as the front", "a smaller fall or a shallower store")
  end

  -- Posts: their heads are cut to the fall, so that the beams lie flat on them.
  local function post(where, x, y)
    local ground = ground_at(x + p / 2, y + p / 2)
    local piece = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "back",
      length = c.height - y * tan - ground + c.in_ground, at = { x = x, y = y, z = ground - c.in_ground } }
    bevel(piece, { ends = "finish", looks = { y = tan, z = 1 } })
    post_in_ground(piece, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
    return piece
  end
  local far = c.depth - p
  local left = { front = post("left front", 0, 0), back = post("left back", 0, far) }
  local right = { front = post("right front", c.width - p, 0), back = post("right back", c.width - p, far) }
  local posts = { left.front, left.back, right.front, right.back }

  -- A beam lies on each row of heads and leans as they do. It falls `s` along the roof from the front posts' front edge.
  local deep = c.beam.width
  local function roof(s, above) return { y = s * math.cos(slope) + above * math.sin(slope), z = c.height - s * math.sin(slope) + above * math.cos(slope) } end
  local beams = {}
  local past = c.overhang + named("beyond the roof, clear of its screws", 30)
  for _, row in ipairs({ { "front", left.front, right.front, 0 }, { "back", left.back, right.back, far / math.cos(slope) } }) do
    local low = roof(row[4] + (p / math.cos(slope) - c.beam.thickness) / 2, 0)
    local beam = lay { name = "beam", where = row[1], role = "beam", duty = "beam", section = c.beam, wide = "up", turn = -1 * c.fall, lies = "back",
      from = { x = -1 * past, y = low.y, z = low.z }, to = { x = c.width + past, y = low.y, z = low.z } }
    for _, one in ipairs({ row[2], row[3] }) do
      meet(beam, one)
      connect { bodies = { beam, one }, kinds = { "angle bracket" }, count = 2, least = 4, load = 9000 }
    end
    table.insert(beams, beam)
  end

  -- Roof boards fall from front to back, a few millimetres apart. `duty = "roof"` makes them catch snow and wind.
  local long = p / math.cos(slope) + far / math.cos(slope) + 2 * c.overhang
  local across = c.width + 2 * c.overhang
  local count = math.max(2, math.floor((mm(across) + 4) / (mm(c.board.width) + 4)))
  for k, x in ipairs(spread { count = count, from = -1 * c.overhang, to = c.width + c.overhang, width = c.board.width }) do
    local from, to = roof(-1 * c.overhang, deep), roof(long - c.overhang, deep)
    local board = lay { name = "roof board", where = "number " .. k, role = "board", duty = "roof", section = c.board, wide = "right", edge = "low", lies = "up", ends = "square",
      from = { x = x, y = from.y, z = from.z }, to = { x = x, y = to.y, z = to.z } }
    for _, beam in ipairs(beams) do
      meet(board, beam)
      connect { bodies = { board, beam }, kinds = { "structural screw" }, count = 2, most = 2, least = mm(c.depth) > 1000 and 7.5 or 5, load = 1500 }
    end
  end

  -- The floor: a rail before the front posts and one behind the back posts, bearers from one to the other, boards along on
  -- them. What is stacked there is heavy: the rails are let into the posts, whose shoulders carry them.
  local low = named("above the ground", 60)
  local floor_top = low + c.rail.width + c.bearer.width + c.floor_board.thickness
  if c.floor then
    local t, rails = c.rail.thickness, {}
    local horn = named("horn", 50)   -- so that its bolts stand clear of its ends
    local let_in = named("let in", 15)
    for _, row in ipairs({ { "front", let_in - t, left.front, right.front, "back" }, { "back", c.depth - let_in, left.back, right.back, "front" } }) do
      local rail = place { name = "floor rail", where = row[1], role = "beam", duty = "beam", section = c.rail, runs = "right", wide = "up",
        length = c.width + 2 * horn, at = { x = -1 * horn, y = row[2], z = low } }
      for _, one in ipairs({ row[3], row[4] }) do
        notch(rail, one, { into = row[5], share = 0 })
        connect { bodies = { rail, one }, kinds = { "bolt", "coach bolt" }, count = 1, most = 1, least = not metric and tall(c) and 11.5 or 9.5, load = 1500 }
      end
      table.insert(rails, rail)
    end
    local bearers = {}
    local room = c.width - 2 * p
    local n = math.max(2, math.ceil((mm(room) - mm(t)) / mm(c.bearer_every) - 1e-9) + 1)
    for i, x in ipairs(spread { count = n, from = p + 32, to = c.width - p - 32, width = c.bearer.thickness }) do
      local piece = place { name = "bearer", where = "number " .. i, role = "beam", duty = "nothing", section = c.bearer, runs = "back", wide = "up",
        length = c.depth + 2 * (t - let_in), at = { x = x, y = let_in - t, z = low + c.rail.width } }
      for _, rail in ipairs(rails) do
        meet(piece, rail)
        connect { bodies = { piece, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = mm(c.width) > 2400 and 1300 or 800 }
      end
      table.insert(bearers, piece)
    end
    local boards = math.max(2, math.floor((mm(c.depth) + 15) / (mm(c.floor_board.width) + 15)))
    for k, y in ipairs(spread { count = boards, from = 0, to = c.depth, width = c.floor_board.width }) do
      local board = place { name = "floor board", where = "number " .. k, role = "board", duty = "walk", section = c.floor_board, runs = "right", wide = "back",
        length = room, at = { x = p, y = y, z = floor_top - c.floor_board.thickness } }
      for _, piece in ipairs(bearers) do
        meet(board, piece)
        fix { through = { board, piece }, count = 2, least = metric and 4 or 4.6 }
      end
      rest(board, posts, "screwed to the bearers")
    end
  end

  -- Slats outside the posts: at both sides from front to back, at the back from side to side, above the floor and its rails.
  local first = c.floor and low + c.rail.width + named("above the rails", 10) or low
  local function slats(first, top, put)
    local n = math.max(1, math.floor((mm(top - first) + mm(c.gap)) / (mm(c.slat.width) + mm(c.gap))))
    for k, z in ipairs(spread { count = n, from = first, to = top, width = c.slat.width }) do
      local slat, held = put("number " .. k, z)
      for _, one in ipairs(held) do
        meet(slat, one)
        fix { through = { slat, one }, count = 2, least = 4 }
      end
    end
  end
  local top = c.height - c.depth * tan - 10
  slats(first, top, function(where, z)
    return place { name = "side slat", where = "left " .. where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "back", wide = "up",
      length = c.depth, at = { x = -1 * t, y = 0, z = z } }, { left.front, left.back }
  end)
  slats(first, top, function(where, z)
    return place { name = "side slat", where = "right " .. where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "back", wide = "up",
      length = c.depth, at = { x = c.width, y = 0, z = z } }, { right.front, right.back }
  end)
  slats(c.floor and floor_top + 10 or low, top, function(where, z)
    return place { name = "back slat", where = where, role = "board", duty = "screen", carries = false, section = c.slat, runs = "right", wide = "up",
      length = c.width, at = { x = 0, y = c.depth, z = z } }, { left.back, right.back }
  end)

  -- What it holds: stacked logs are about two thirds wood, fresh ones 450 kg in all to the cubic metre (common practice).
  local volume = mm(c.width - 2 * p) * mm(c.depth) * mm(top - (c.floor and floor_top or low)) / 1e9
  remark("width", string.format("it holds about %.1f m³ of stacked logs, %.0f kg when they are fresh", volume, volume * 450),
    "stack them bark up, 50 mm off the back; lay felt or lapped boards over the roof boards where it is to be dry")
end

return pattern
