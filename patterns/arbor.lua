-- SPDX-License-Identifier: Apache-2.0
-- A garden arbor: two panel sides, a frame that boxes in their heads, a fascia beam front and back, rafters across.
--
--   x  from the left side to the right, 0 at the left end of the clear opening
--   y  from the front posts' front faces to the back
--   z  up from the ground
--
--        ‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾  rafters, halved over both beams
--      ════════════════════  fascia beam before the frame's long member
--         ║            ║     posts go up behind the beams and deep into the ground, and stand by that
--         ║            ║
--      ───╨────────────╨───  ground

local measures = shared "measures"
local feet = shared "feet"

local pattern = {
  name = "arbor",
  title = "Garden arbor",
  help = "Two panel sides, a boxed top frame, fascia beams with shaped ends, and rafters halved over them.",
  choices = {
    { name = "opening", unit = "length", least = 500, most = 4000, group = "Size",
      help = "clear width between the two sides" },
    { name = "panel", unit = "panel", optional = true, group = "Panel", role = "panel",
      help = "ready-made panel of the sides, by the yard's name" },
    { name = "panel_width", unit = "length", least = 150, most = 3000, optional = true, group = "Panel",
      help = "width of a panel that is not the yard's; the rails are as long" },
    { name = "panel_height", unit = "length", least = 150, most = 3000, optional = true, group = "Panel",
      help = "height of a panel that is not the yard's" },
    { name = "panel_thickness", unit = "length", least = 5, most = 100, default = 30, group = "Panel",
      help = "thickness of a panel that is not the yard's" },
    { name = "height", unit = "length", least = 600, most = 3500, default = 2150, group = "Size",
      help = "from the ground to the top of the sides" },
    feet.choice(),
    { name = "in_ground", unit = "length", least = 200, most = 1500, group = "Ground",
      default = function(c) return feet.on_shoes(c) and measures.to_step(mm(c.opening) > 1700 and 1100 or 900, 50, 2) or measures.to_step(mm(c.height) / 2, 50, 2) end,
      help = "how far the posts stand in the ground; half the height lets them stand without braces. Of pads, how deep they are" },
    { name = "hole_diameter", unit = "length", least = 150, most = 900, group = "Ground",
      default = function(c) return measures.to_step(feet.on_shoes(c) and 400 or 250, 25, 1) end,
      help = "width of the round post holes, or of the pads" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground",
      help = "compacted gravel under each post" },
    { name = "post", unit = "section", role = "post", group = "Timber",
      -- Posts of 95 mm under a wider roof lean so far that the rails' brackets are asked for 121 % of their strength at
      -- 2400 mm; 120 mm posts leave them at 94 % (our own frames). American brackets carry what 4x4 posts ask.
      default = function(c)
        return (measures.metric() and mm(c.opening) > 1700 or feet.on_shoes(c)) and "post_large" or nil
      end,
      help = "posts; their wide face lies along the side. Over wide openings and on shoes stouter ones, which lean less" },
    { name = "rail", unit = "section", role = "rail", group = "Timber", help = "rails above and below the panels" },
    { name = "frame", unit = "section", role = "frame", group = "Timber", help = "top frame that boxes in the sides" },
    { name = "beam", unit = "section", role = "fascia", group = "Timber",
      -- American 2x6 bends at 102 % over 1900 mm, at 138 % over 2400; 2x8 at 70 % there (our own frames).
      default = function(c) return not measures.metric() and mm(c.opening) > 1850 and "beam_large" or nil end,
      help = "fascia beams, deeper than the frame" },
    { name = "rafter", unit = "section", role = "rafter", group = "Timber", help = "rafters" },
    { name = "batten", unit = "section", role = "batten", group = "Timber", help = "battens behind the panels" },
    { name = "brace", unit = "section", role = "brace", group = "Timber", help = "knee braces" },
    { name = "cap", unit = "section", role = "cap", group = "Timber", help = "caps over the end grain of the posts" },
    { name = "side_overhang", unit = "length", least = 0, most = 1200, default = 250, group = "Size",
      help = "beam beyond the frame, at each end" },
    { name = "front_overhang", unit = "length", least = 0, most = 1200, default = 200, group = "Size",
      help = "rafter beyond the beam's outer face, at each end" },
    { name = "rafters", unit = "count", least = 1, most = 60, group = "Size",
      -- Nearer than 320 mm a full driver has no room at every bracket.
      default = function(c) return math.max(2, math.floor((mm(c.opening) - mm(c.rafter.thickness)) / 320) + 1) end,
      help = "how many rafters, evenly spaced over the opening" },
    { name = "brace_leg", unit = "length", least = 0, most = 1500, default = 0, group = "Size",
      help = "legs of the knee braces along post and beam, from the corner to the long points; 0 for none" },
    { name = "brace_hollow", unit = "length", least = 0, most = 80, default = 0, group = "Size",
      help = "how deep an arc is sawn out of the braces' edge that looks into the opening; 0 for straight braces" },
    { name = "brace_hold", unit = "length", least = 0, most = 400, default = 130, group = "Size",
      help = "how far that arc begins and ends off the long points of the mitres: clear of the screws there" },
    { name = "beam_end", unit = "profile", default = "ogee", group = "Shape", help = "shape of the beams' ends" },
    { name = "rafter_end", unit = "profile", default = "quarter round", group = "Shape",
      help = "shape of the rafters' ends" },
  },
}

-- The panel as given: the yard's, or one of the person's own by its sizes.
local function chosen_panel(c)
  if not c.panel_width and not c.panel_height then return c.panel end
  if not c.panel_width or not c.panel_height then
    refuse(c.panel_width and "panel_width" or "panel_height", "only one size of the panel is given",
      "give panel_width and panel_height, or the name of the yard's panel")
  end
  -- A trellis fills about a third of its frame; 450 kg/m³ (our own estimate, only for the mass).
  local mass = mm(c.panel_width) * mm(c.panel_height) * mm(c.panel_thickness) * 450e-9 / 3
  return { item = "", width = c.panel_width, height = c.panel_height, thickness = c.panel_thickness,
    mass = mass, solidity = 0.35 }
end

local function check_sizes(c, panel)
  local most_panel = c.height - 2 * c.rail.width
  if panel.height > most_panel then
    refuse(c.panel_height and "panel_height" or "panel",
      "the panel is " .. print_length(panel.height) .. " high, and the side has room for "
      .. print_length(most_panel) .. " between its rails",
      "choose a panel up to " .. print_length(most_panel) .. " or a height of at least "
      .. print_length(panel.height + 2 * c.rail.width))
  end
  if c.beam.width <= c.frame.width then
    refuse("beam", "the beam (" .. print_length(c.beam.width) .. " deep) is no deeper than the frame ("
      .. print_length(c.frame.width) .. "), so the rafters would not meet it", "choose a deeper section for it")
  end
  if c.rail.thickness > c.post.thickness then
    refuse("rail", "the rails are thicker than the posts they run between",
      "choose a section of at most " .. print_length(c.post.thickness))
  end
  local room = least((c.opening - c.frame.thickness) / 2, c.height)
  if c.brace_leg > room then
    refuse("brace_leg", "braces with legs of " .. print_length(c.brace_leg)
      .. " are longer than the room there is", "give at most " .. print_length(room))
  end
  local pitch = c.rafters > 1 and (c.opening - 40 - c.rafter.thickness) / (c.rafters - 1) or c.opening
  if pitch < c.rafter.thickness or c.rafter.thickness > c.opening then
    refuse("rafters", c.rafters .. " rafters do not fit side by side over the opening",
      "give at most " .. math.max(1, math.floor(mm(c.opening) / mm(c.rafter.thickness))))
  end
  local into_opening = panel.thickness + c.batten.thickness - c.post.thickness
  if into_opening > 0 then
    remark("batten", "the battens stand " .. print_length(into_opening)
      .. " into the opening, past the posts", "choose thinner battens, a thinner panel or thicker posts")
  end
end

-- The left side, standing: posts, rails, panel and the battens behind it.
local function build_side(c, given, rise)
  local group = "left side"
  local out = -1 * c.post.thickness
  local function post(where, y)
    return place { name = "post", where = where, role = "post", group = group, section = c.post, runs = "up",
      wide = "back", straight = true, length = c.height + rise - feet.begins(c), at = { x = out, y = y, z = feet.begins(c) } }
  end
  local front = post("left front", 0)
  local back = post("left back", c.post.width + given.width)

  local function rail(where, z)
    local piece = butt { name = "rail", where = where, role = "rail", group = group, section = c.rail,
      between = { front, back }, runs = "back", wide = "up", at = { x = out, z = z } }
    return piece
  end
  local top = rail("left top", c.height - c.rail.width)
  local bottom = rail("left bottom", top.bottom - given.height - c.rail.width)

  local trellis = panel { name = "left trellis", group = group, item = given.item, width = given.width,
    height = given.height, thickness = given.thickness, mass = given.mass, solidity = given.solidity,
    duty = { "screen", "climber" }, runs = "back", at = { x = out, y = front.back, z = bottom.top } }
  rest(trellis, { front, back, top, bottom }, "held by the battens behind it")

  local behind = trellis.right
  local function upright(where, y, post_piece)
    local piece = place { name = "upright batten", where = where, role = "batten", carries = false, group = group,
      section = c.batten, runs = "up", wide = "back", length = given.height,
      at = { x = behind, y = y, z = trellis.bottom } }
    meet(piece, post_piece)
    fix { through = { piece, post_piece }, count = 3, every = 500 }
    meet(trellis, piece, "panel")
    fix { through = { piece, trellis }, count = 3, every = 450 }
    rest(piece, { top, bottom }, "fixed to the post beside it")
    return piece
  end
  local near = upright("left front", front.back, front)
  local far = upright("left back", back.front - c.batten.width, back)
  local function level(where, z, rail_piece)
    local piece = butt { name = "level batten", where = where, role = "batten", carries = false, group = group,
      section = c.batten, between = { near, far }, runs = "back", wide = "up", at = { x = behind, z = z } }
    meet(trellis, piece, "panel")
    fix { through = { piece, trellis }, count = 2, every = 450 }
    rest(piece, { near, far }, "fixed to the panel")
    rest(piece, { rail_piece }, "fixed to the panel")
    return piece
  end
  local lower = level("left lower", trellis.bottom, bottom)
  local upper = level("left upper", trellis.top - c.batten.width, top)
  return { front = front, back = back, top = top, bottom = bottom, panel = trellis, all = { front, back, top, bottom, trellis, near, far, lower, upper } }
end

function pattern.build(c)
  local given = chosen_panel(c)
  check_sizes(c, given)
  -- The posts' heads go up past the frame, to leave timber above their fixings.
  local left = build_side(c, given, named("post's head", 55))
  local braced = c.brace_leg > 0

  -- Braces stand against the posts' inner faces and lap up behind the long members.
  local function brace_at(where, post, low_across)
    local piece = brace { name = "knee brace", where = where, group = "braces", section = c.brace, foot = post,
      foot_face = "right", head_face = "up", head_level = c.height, leg = c.brace_leg, low_across = low_across,
      note = "laps behind the frame: " .. print_length(c.brace_leg - least(c.frame.width, c.brace_leg))
        .. " of each leg stays in sight" }
    if c.brace_hollow > 0 then hollow(piece, { face = "down", off = c.brace_hold, deep = c.brace_hollow }) end
    return piece
  end
  local copied = left.all
  local braces = {}
  if braced then
    braces.left_front = brace_at("left front", left.front, left.front.front)
    braces.left_back = brace_at("left back", left.back, left.back.back - c.brace.thickness)
    connect { bodies = { braces.left_front, left.front }, kinds = { "structural screw", "screw" }, count = 2, least = 6, load = 2500 }
    connect { bodies = { braces.left_back, left.back }, kinds = { "structural screw", "screw" }, count = 2, least = 6, load = 2500 }
    table.insert(copied, braces.left_front)
    table.insert(copied, braces.left_back)
  else
    remark("brace_leg", "there are no braces: the posts stand by " .. (feet.on_shoes(c) and "their shoes" or "their depth in the ground") .. ". Braces would stiffen the "
      .. "arbor one way alone, and pull at the holes and at their own fixings",
      "with brace_leg they want bolts through their laps and wider holes: the checks say how much")
  end
  local copies = mirror(copied, { across = "right", at = c.opening / 2 })
  local right = { front = copies[1], back = copies[2], top = copies[3], bottom = copies[4], panel = copies[5] }
  if braced then
    braces.right_front, braces.right_back = copies[10], copies[11]
  end
  assembly("left side", { flat = true })
  assembly("right side", { flat = true })

  -- The frame boxes in the heads of both sides. Its members run on past the corners, so that their fixings do not split
  -- their ends.
  local horn = named("horn", 60)
  local from = left.front.left - c.frame.thickness
  local to = right.front.right + c.frame.thickness
  local low = c.height - c.frame.width
  local function long_member(where, y)
    return place { name = "frame long member", where = where, role = "frame", group = "top frame", section = c.frame,
      runs = "right", wide = "up", length = to - from + 2 * horn, at = { x = from - horn, y = y, z = low } }
  end
  local front = long_member("front", left.front.front - c.frame.thickness)
  local back = long_member("back", left.back.back)
  local middle = butt { name = "frame cross member", where = "middle", role = "frame", group = "top frame",
    section = c.frame, between = { front, back }, runs = "back", wide = "up",
    at = { x = c.opening / 2 - c.frame.thickness / 2, z = low } }
  for _, long in pairs({ front, back }) do
    connect { bodies = { long, middle }, kinds = { "angle bracket", "screw" }, count = 2, least = 4.5, load = 300 }
  end

  -- Fascia beams: deeper than the frame, so that they stand above it and take the rafters.
  local bite = least(c.beam.width - c.frame.width, 0.45 * c.rafter.width)
  local function beam_at(where, y, member)
    local piece = place { name = "fascia beam", where = where, role = "fascia", group = "fascia beams",
      section = c.beam, runs = "right", wide = "up", straight = true, length = to - from + 2 * c.side_overhang,
      at = { x = from - c.side_overhang, y = y, z = c.height + bite - c.beam.width } }
    shape(piece, { ends = "both", profile = c.beam_end, under = "down", room = c.side_overhang })
    meet(piece, member)
    return piece
  end
  local front_beam = beam_at("front", front.front - c.beam.thickness, front)
  local back_beam = beam_at("back", back.back, back)

  -- One stout screw a corner goes through beam and frame into the post, in the middle of all three: a pair would be too
  -- near to their edges. A bolt would come out inside the top rail, which butts against the post's other side there.
  local stout = { "structural screw", "coach screw", "screw" }
  local function secure(beam_piece, member, post)
    meet(member, post)
    connect { bodies = { beam_piece, member, post }, kinds = stout, least = 9, load = 1900 }
  end
  secure(front_beam, front, left.front)
  secure(front_beam, front, right.front)
  secure(back_beam, back, left.back)
  secure(back_beam, back, right.back)
  -- The ends of the frame lie outside the posts, clear below its long members and the beams, which they would lift when
  -- the posts lean.
  local under = least(low, front_beam.bottom) - named("clear below", 10)
  local function end_member(where, side, x)
    return place { name = "frame end member", where = where, role = "frame", group = "top frame", section = c.frame,
      runs = "back", wide = "up", length = side.back.back - side.front.front + 2 * horn,
      at = { x = x, y = side.front.front - horn, z = under - c.frame.width } }
  end
  local left_end = end_member("left", left, from)
  local right_end = end_member("right", right, to - c.frame.thickness)
  for _, corner in pairs({ { left_end, left.front }, { left_end, left.back }, { right_end, right.front },
    { right_end, right.back } }) do
    meet(corner[1], corner[2])
    connect { bodies = { corner[1], corner[2] }, kinds = stout, least = 9, load = 1900 }
  end
  for _, pair in pairs({ { front_beam, front }, { back_beam, back } }) do
    connect { bodies = pair, kinds = { "structural screw", "bolt", "screw" }, count = 3,
      every = measures.to_step(300, 10, mm(c.opening) > 1850 and 16 or 12), least = 5 }
  end
  rest(left_end, { left.top, left.panel }, "fixed to the posts beside it")
  rest(right_end, { right.top, right.panel }, "fixed to the posts beside it")
  if braced then
    for _, lap in pairs({ { braces.left_front, front }, { braces.right_front, front }, { braces.left_back, back },
      { braces.right_back, back } }) do
      meet(lap[1], lap[2])
      connect { bodies = { lap[1], lap[2] }, kinds = { "bolt", "coach bolt", "structural screw", "screw" }, count = 2,
        least = 6, load = 2500 }
    end
  end

  -- Caps keep water out of the posts' end grain; they stop short of the rafters.
  local function cap_over(where, side, low_across)
    local piece = cap { name = "cap", where = where, group = "caps", section = c.cap, runs = "back",
      over = { side.front, side.back }, low_across = low_across }
    fix { through = { piece, side.front }, count = 1, least = 4 }
    fix { through = { piece, side.back }, count = 1, least = 4 }
    return piece
  end
  local left_cap = cap_over("left", left, left.front.right - c.cap.width)
  local right_cap = cap_over("right", right, right.front.left)
  rest(left_cap, { left.top, left_end, front, back, front_beam, back_beam }, "screwed to the posts below")
  rest(right_cap, { right.top, right_end, front, back, front_beam, back_beam }, "screwed to the posts below")
  -- Rails end against the posts: screws would be in their end grain, which carries nothing outdoors.
  for _, side in pairs({ left, right }) do
    for _, post in pairs({ side.front, side.back }) do
      for _, rail in pairs({ side.top, side.bottom }) do
        connect { bodies = { post, rail }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 700 }
      end
    end
  end

  local length = back_beam.back - front_beam.front + 2 * c.front_overhang
  -- The outer ones stand clear of the posts' heads, which would press on them when the posts lean.
  local clear = named("clear of the posts", 20)
  for i, x in pairs(spread { count = c.rafters, from = left.front.right + clear, to = right.front.left - clear,
    width = c.rafter.thickness }) do
    local piece = place { name = "rafter", where = "number " .. i, role = "rafter", group = "rafters",
      duty = { "roof", "climber" }, section = c.rafter, runs = "back", wide = "up", length = length,
      at = { x = x, y = front_beam.front - c.front_overhang, z = c.height } }
    shape(piece, { ends = "both", profile = c.rafter_end, under = "down", room = c.front_overhang })
    halve(piece, front_beam)
    halve(piece, back_beam)
    connect { bodies = { piece, front_beam }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1100 }
    connect { bodies = { piece, back_beam }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 1100 }
    rest(piece, { front, back, middle, left_cap, right_cap }, "held by the halvings over the beams")
    for _, other in pairs({ braces.left_front, braces.left_back, braces.right_front, braces.right_back }) do
      rest(piece, { other }, "held by the halvings over the beams")
    end
  end

  for _, post in pairs({ left.front, left.back, right.front, right.back }) do
    feet.set(c, post)
  end
end

return pattern
