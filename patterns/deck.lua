-- SPDX-License-Identifier: Apache-2.0
-- A low deck, with steps down from its front and a guard round it where it is high: boards over joists over beams, which
-- stand on posts. Nobody leans a kilonewton on a post that ends below a floor: they have the duty of a seat's legs. The
-- guard stands beside the deck on posts of its own in the ground, a finger's width off: a post that is only bolted to a
-- joist pulls its bolts out.
--
--   x  along the front, 0 at the left end of the boards
--   y  from the front edge of the joists to the back; the steps run out before it
--   z  up from the ground at the origin
--
--             ▬▬▬▬▬▬▬▬▬▬▬▬▬▬  boards
--        ▬▬   ▯  ▯  ▯  ▯  ▯   joists
--     ▬▬   ╲  ════════════    beams
--      ╲     ╲ ║        ║     posts

local measures = shared "measures"

-- Where joists on usual beams would not fit between the boards and the ground: both are shallower, and span less.
local function low(c) return mm(c.height) < measures.usual(380, 14.5) end

local pattern = {
  name = "deck",
  title = "Deck with steps",
  help = "Boards over joists over beams on posts, up to 900 high, with steps in front and a guard where the drop asks it.",
  choices = {
    { name = "width", unit = "length", least = 900, most = 8000, default = 3600, group = "Size", help = "along the front" },
    { name = "depth", unit = "length", least = 900, most = 6000, group = "Size",
      -- Sixteen boards of 145 at 6 lie on it, and its joists come out of 2.4 m; seventeen of 5 1/2 in.
      default = function() return measures.usual(2340, 94) end, help = "front to back, between its rims" },
    { name = "height", unit = "length", least = 250, most = 900, default = 450, group = "Size", help = "top of the boards above the ground at the steps" },
    { name = "board", unit = "section", role = "deck", group = "Timber", help = "boards" },
    { name = "gap", unit = "length", least = 3, most = 12, default = 6, group = "Kind", help = "between boards; it is evened out" },
    { name = "joist", unit = "section", role = "beam", group = "Timber", default = function(c) return low(c) and "frame" or nil end,
      help = "joists; shallower ones under a low deck" },
    { name = "joist_every", unit = "length", least = 200, most = 700, group = "Timber",
      default = function(c) return mm(c.board.thickness) < 24 and 350 or mm(c.board.thickness) < 30 and 400 or 600 end,
      help = "farthest from joist to joist, middle to middle" },
    { name = "beyond", unit = "length", least = 0, most = 150, default = 40, group = "Size",
      help = "boards beyond the outer joists, so that their screws stand clear of their ends; 0 where those stand at the very sides" },
    { name = "beam", unit = "section", role = "fascia", group = "Timber", default = function(c) return low(c) and "frame" or nil end, help = "beams" },
    { name = "beam_every", unit = "length", least = 500, most = 3500, group = "Timber",
      -- 47 x 150 at 400 spans 2.9 m in C16 for 2.0 + 0.5 kN/m² (computed); less here, for comfort.
      default = function(c) return mm(c.joist.width) < 120 and 1300 or 2300 end, help = "farthest from beam to beam" },
    { name = "post", unit = "section", role = "post", group = "Timber", help = "posts" },
    { name = "post_every", unit = "length", least = 500, most = 3000, group = "Timber",
      default = function(c) return low(c) and 1000 or 1500 end, help = "farthest from post to post along a beam" },
    { name = "in_ground", unit = "length", least = 300, most = 1500, group = "Ground",
      -- The wind on a long deck comes to few posts.
      default = function(c) return mm(c.width) > 4000 and measures.usual(950, 38) or 800 end, help = "how far the posts stand in the ground" },
    { name = "hole_diameter", unit = "length", least = 200, most = 900, default = 350, group = "Ground", help = "width of the holes" },
    { name = "steps", unit = "yes-no", default = true, group = "Steps", help = "steps before its front" },
    { name = "step_width", unit = "length", least = 600, most = 2400, group = "Steps",
      default = function(c) return math.min(measures.usual(1000, 36), mm(c.width) - measures.usual(150, 6)) end, help = "between the strings" },
    { name = "step_from", unit = "length", least = 0, most = 8000, group = "Steps",
      default = function(c) return math.max(0, (mm(c.width) - mm(c.step_width)) / 2 - 60) end, help = "outer face of the left string, from the left" },
    { name = "most_riser", unit = "length", least = 100, most = 220, group = "Steps",
      -- One step up to a low deck: two of a third of it would lie too flat for their strings' bolts.
      default = function(c) return low(c) and 190 or 160 end, help = "highest that one step rises" },
    { name = "tread", unit = "section", role = "beam", group = "Steps",
      help = "treads, so many side by side as the going asks" },
    { name = "cleat", unit = "section", role = "post", group = "Steps", help = "what treads lie on, bolted to the strings: stout, so that their screws keep off the treads' ends" },
    { name = "string_every", unit = "length", least = 200, most = 1500, group = "Steps",
      -- So that a tread carries 2 kN, or 300 lb, on its middle (computed).
      default = function(c) return mm(c.tread.thickness) < 30 and 450 or 600 end,
      help = "farthest that treads span from string to string" },
    { name = "going", unit = "length", least = 220, most = 450, group = "Steps",
      default = function(c) return 2 * mm(c.tread.width) + 6 end, help = "of each tread" },
    { name = "string", unit = "section", role = "string", group = "Steps", help = "strings of the steps" },
    { name = "foot_post", unit = "section", role = "post_large", group = "Steps", help = "posts that hold the strings' feet" },
    { name = "foot_in_ground", unit = "length", least = 300, most = 1200, group = "Steps",
      default = function(c) return mm(c.height) > 600 and 900 or 700 end,
      help = "how far the posts stand in the ground that hold the strings' feet" },
    { name = "guard", unit = "option", options = { "none", "all but the back", "all round" }, group = "Guard",
      -- England asks one from 600 mm (Approved Document K), the IRC from 30 in.
      default = function(c) return mm(c.height) > measures.usual(600, 30) and "all round" or "none" end,
      help = "a rail with balusters where the deck has no steps; the back may be a house's wall" },
    { name = "handrail", unit = "option", options = { "none", "left", "right", "both sides" }, group = "Steps",
      -- The IRC (R311.7.8) asks one from four risers on.
      default = function(c) return c.steps and mm(c.height) > 3 * mm(c.most_riser) and "right" or "none" end,
      help = "a handrail beside the steps, on posts of its own; asked from four risers on" },
    { name = "handrail_height", unit = "length", least = 750, most = 1100, group = "Steps",
      default = function() return measures.usual(900, 36) end, help = "of the handrail above the nosings" },
    { name = "handrail_rail", unit = "section", role = "frame", group = "Steps",
      -- 200 lb from the side, wet: more than a 2x6 bears flat by the American rules.
      default = function() return measures.metric() and "frame" or "post" end, help = "the handrail itself" },
    { name = "guard_height", unit = "length", least = 800, most = 1200, group = "Guard",
      default = function() return measures.usual(1100, 36) end, help = "of the guard above the boards" },
    { name = "guard_post", unit = "section", role = "post", group = "Guard",
      -- 200 lb at any point of the rail, wet: more than a 4x4 bears by the American rules.
      default = function() return measures.metric() and "post" or "post_large" end, help = "posts of the guard, set in the ground beside the deck" },
    { name = "guard_every", unit = "length", least = 600, most = 1800, group = "Guard",
      default = function() return measures.usual(1200, 36) end, help = "farthest from post to post of the guard" },
    { name = "guard_in_ground", unit = "length", least = 500, most = 1500, default = function() return measures.usual(950, 42) end, group = "Guard", help = "how far the posts of the guard stand in the ground" },
    { name = "guard_rail", unit = "section", role = "frame", group = "Guard", default = function() return measures.metric() and "frame" or "beam" end, help = "rails, on the posts' inner faces" },
    { name = "baluster", unit = "section", role = "purlin", group = "Guard", help = "balusters, on the rails' outer faces" },
    -- 99 mm must not pass, nor 4 in (Approved Document K; IRC R312.1.3); timber that dries opens the gap.
    { name = "baluster_gap", unit = "length", least = 40, most = 99, group = "Guard",
      default = function() return measures.usual(95, 3.75) end, help = "most between balusters: a ball of 100 mm (4 in) must not pass" },
  },
}

-- One side's guard: posts beside the deck, rails on their inner faces, balusters between them on the rails' outer faces.
-- `face` is where the posts' inner faces are, `from` and `to` where the posts stand, `rail_from` and `rail_to` the rails.
local function guard_side(c, t)
  local H, q = c.height, c.guard_post.width
  local along = t.runs
  local function box(s, long, out, thick)   -- out: of its near face, negative over the deck
    if along == "right" then return { x = s, y = t.out > 0 and t.face + out or t.face - out - thick } end
    return { x = t.out > 0 and t.face + out or t.face - out - thick, y = s }
  end
  local function with(at, z) at.z = z return at end
  local low, high = H + named("below the guard", 80), H + c.guard_height
  local n = math.max(2, math.ceil((mm(t.to) - mm(t.from) - mm(q)) / mm(c.guard_every) - 1e-9) + 1)
  local places = spread { count = n, from = t.from, to = t.to, width = q }
  if mm(t.to) - mm(t.from) < 2 * mm(q) then
    n = 1
    places = { t.from }
  end
  local posts, rails = {}, {}
  for i, s in ipairs(places) do
    local at = box(s, q, named("beside the deck", 0), q)
    local ground = ground_at(at.x + q / 2, at.y + q / 2)
    local post = place { name = "post", where = "guard " .. t.where .. " " .. i, role = "post", section = c.guard_post, runs = "up", wide = "back",
      length = high + named("above the rail", 50) - ground + c.guard_in_ground, at = with(at, ground - c.guard_in_ground) }
    post_in_ground(post, { diameter = c.hole_diameter, depth = c.guard_in_ground, fill = "concrete" })
    table.insert(posts, post)
  end
  local length = t.rail_to - t.rail_from
  if mm(length) > mm(longest_sold(c.guard_rail)) then
    refuse("guard_rail", "a rail of " .. print_length(length) .. " is longer than any " .. c.guard_rail.name .. " that the yard sells", "a smaller deck, or another section")
  end
  for _, row in ipairs({ { "bottom", low }, { "top", high - c.guard_rail.width } }) do
    local rail = place { name = "guard rail", where = t.where .. " " .. row[1], role = "rail", duty = row[1] == "top" and "guard" or "nothing", section = c.guard_rail,
      runs = along, wide = "up", length = length, at = with(box(t.rail_from, length, -1 * c.guard_rail.thickness, c.guard_rail.thickness), row[2]) }
    for _, post in ipairs(posts) do
      meet(rail, post)
      connect { bodies = { rail, post }, kinds = { "bolt", "coach bolt" }, count = 2, least = measures.usual(7.5, 0.49), load = 1500 }
    end
    table.insert(rails, rail)
  end
  local w, g = c.baluster.width, mm(c.baluster_gap)
  local number = 0
  local function bay(from, to)
    local clear = mm(to) - mm(from)
    local count = math.max(0, math.ceil((clear - g) / (mm(w) + g) - 1e-9))
    local gap = (clear - count * mm(w)) / (count + 1)
    for k = 1, count do
      number = number + 1
      local baluster = place { name = "baluster", where = t.where .. " " .. number, role = "batten", duty = "screen", carries = false, section = c.baluster, runs = "up",
        wide = along, length = high - low, at = with(box(from + gap * k + w * (k - 1), w, named("on the rails", 0), c.baluster.thickness), low) }
      for _, rail in ipairs(rails) do
        meet(baluster, rail)
        fix { through = { baluster, rail }, count = 1, least = 4 }
      end
    end
  end
  local function near(piece) return along == "right" and piece.left or piece.front end
  local function far(piece) return along == "right" and piece.right or piece.back end
  for i = 1, #posts - 1 do bay(far(posts[i]), near(posts[i + 1])) end
  -- The rails run on past the outer posts, in places by more than a gap.
  if mm(near(posts[1])) - mm(t.rail_from) > mm(c.baluster_gap) then bay(t.rail_from, near(posts[1])) end
  if mm(t.rail_to) - mm(far(posts[#posts])) > mm(c.baluster_gap) then bay(far(posts[#posts]), t.rail_to) end
  return rails
end

-- A handrail along one side of the steps: a sloping rail on the inner faces of two posts. `face` is where those are, `out` 1 to the
-- right and -1 to the left of them, `run` how far the nosings go out before `front`, rising by `slope`.
local function handrail(c, t)
  local q = c.guard_post.width
  local function top(y) return c.height + (y - t.front) * t.slope + c.handrail_height end
  local posts = {}
  -- The lower one stands up the steps from the string's own post.
  local low, high = t.front - t.run + named("up from the string's post", 60), t.front - q - named("before the rim", 60)
  local count = math.max(2, math.ceil((mm(high) - mm(low) - mm(q)) / mm(c.guard_every) - 1e-9) + 1)
  for i, y in ipairs(spread { count = count, from = low, to = high, width = q }) do
    local x = t.out > 0 and t.face or t.face - q
    local ground = ground_at(x + q / 2, y + q / 2)
    local post = place { name = "post", where = "handrail " .. t.where .. " " .. i, role = "post", section = c.guard_post, runs = "up", wide = "back",
      length = top(y) + named("above the rail", 110) - ground + c.guard_in_ground, at = { x = x, y = y, z = ground - c.guard_in_ground } }
    post_in_ground(post, { diameter = c.hole_diameter, depth = c.guard_in_ground, fill = "concrete" })
    table.insert(posts, post)
  end
  local past = named("past the posts", measures.usual(100, 2.5))
  local from, to = posts[1].front - past, posts[#posts].back + least(past, 40)
  local rail = lay { name = "handrail", where = t.where, role = "rail", duty = "guard", section = c.handrail_rail, wide = "up", edge = "high", lies = t.lies,
    from = { x = t.face, y = from, z = top(from) }, to = { x = t.face, y = to, z = top(to) } }
  for _, post in ipairs(posts) do
    meet(rail, post)
    connect { bodies = { rail, post }, kinds = { "bolt", "coach bolt" }, count = 1, most = 1, least = measures.usual(11.5, 0.49), load = 1500 }
  end
end

function pattern.build(c)
  local W, D, H, p = c.width, c.depth, c.height, c.post.width
  local guarded = c.guard ~= "none"
  local top_joist = H - c.board.thickness
  local bottom_joist = top_joist - c.joist.width
  local low_beam = bottom_joist - c.beam.width
  local room = named("room for a driver", 55)
  if low_beam < room then
    refuse("height", "boards, joists and beams are " .. print_length(H - low_beam) .. " deep together, and their brackets want room below",
      "a height of at least " .. print_length(H - low_beam + room) .. ", or lower sections")
  end
  if mm(H) > measures.usual(600, 30) and not guarded then
    remark("guard", "a drop of " .. print_length(H) .. " wants a guard: England asks one from 600 mm, the IRC from 30 in; ask locally", "guard = \"all round\"")
  elseif guarded and mm(c.guard_height) < measures.usual(1100, 36) then
    remark("guard_height", "England asks a guard of 1100 mm outdoors, the IRC one of 36 in; ask locally", "guard_height = " .. print_length(named("guard", measures.usual(1100, 36))))
  end
  if mm(W) > mm(longest_sold(c.beam)) then
    refuse("width", "beams of " .. print_length(W) .. " are longer than any " .. c.beam.name .. " that the yard sells", "a narrower deck, or two")
  end
  if mm(D) > mm(longest_sold(c.joist)) then
    refuse("depth", "joists of " .. print_length(D) .. " are longer than any " .. c.joist.name .. " that the yard sells", "a shallower deck")
  end

  -- ---- posts and beams -------------------------------------------------------------------------------------------------
  local setback = 250
  local rows = math.max(2, math.ceil((mm(D) - 2 * setback) / mm(c.beam_every) - 1e-9) + 1)
  local columns = math.max(2, math.ceil((mm(W) - 2 * 150 - mm(p)) / mm(c.post_every) - 1e-9) + 1)
  local beams, all_posts = {}, {}
  for r, y in ipairs(spread { count = rows, from = named("setback", setback), to = D - setback, width = c.post.thickness }) do
    local posts = {}
    for k, x in ipairs(spread { count = columns, from = named("inset", 150), to = W - 150, width = p }) do
      local ground = ground_at(x + p / 2, y + p / 2)
      if mm(low_beam - ground) < 20 then
        refuse("height", "the ground reaches the beams at " .. print_length(x), "a greater height")
      end
      local post = place { name = "post", where = "row " .. r .. " number " .. k, role = "post", duty = "seat", section = c.post, runs = "up", wide = "right",
        length = low_beam - ground + c.in_ground, at = { x = x, y = y, z = ground - c.in_ground } }
      post_in_ground(post, { diameter = c.hole_diameter, depth = c.in_ground, fill = "concrete" })
      table.insert(posts, post)
      table.insert(all_posts, post)
    end
    local beam = place { name = "beam", where = "row " .. r, role = "beam", duty = "beam", section = c.beam, runs = "right", wide = "up", length = W,
      at = { x = 0, y = y + (c.post.thickness - c.beam.thickness) / 2, z = low_beam } }
    for _, post in ipairs(posts) do
      meet(beam, post)
      connect { bodies = { beam, post }, kinds = { "angle bracket" }, count = 2, least = 4, load = 2400 }
    end
    table.insert(beams, beam)
  end

  -- ---- how the boards divide the depth; the rims stand 10 before the first and the last, whose screws keep off the joists' ends
  local t = c.joist.thickness
  local proud = named("rim before the boards", low(c) and 15 or 10)
  local from, to = proud - t, D + t - proud
  local reach = to - from
  local w, g = mm(c.board.width), mm(c.gap)
  -- Whole boards where gaps a little closer or wider make them fit. Else so many are ripped alike that none gets too
  -- narrow for a foot on it alone (by shear, computed). The last stays whole: a part of it lies on the rim, and its screws
  -- have to keep off the joists' ends.
  local closest, widest, narrowest = math.max(3, g - 1), g + 1.5, 0.82 * w
  local count = math.ceil((mm(reach) + widest) / (w + widest) - 1e-9)
  local even = (mm(reach) - count * w) / (count - 1)
  local gap, ripped, rips = nil, nil, 0
  if even >= closest then
    gap = derive("gap", even, "(depth − " .. count .. " boards) / " .. (count - 1), reach, c.board.width)
  else
    gap = named("gap", g)
    local over = count * w + (count - 1) * g - mm(reach)
    rips = math.min(count - 2, math.ceil(over / (w - narrowest) - 1e-9))
    ripped = derive("ripped", w - over / rips, "a board − " .. string.format("%.0f mm", over) .. " / " .. rips, reach, c.board.width)
    remark("depth", (rips == 1 and "the board before the last is" or "the " .. rips .. " boards before the last are") .. " ripped to " .. print_length(ripped)
      .. ": one alone at the edge would be too narrow for its screws and for a foot",
      "depth = " .. print_length(c.depth + over - (w + g)) .. " or " .. print_length(c.depth + over) .. " takes whole boards")
  end

  -- ---- joists, and a rim before and behind them --------------------------------------------------------------------------
  -- Thin boards are governed by bending: a narrower one spans less.
  local every = mm(c.joist_every) * (ripped and mm(c.board.thickness) < 27 and mm(ripped) / w or 1)
  local n = math.max(2, math.ceil((mm(W) - 2 * mm(c.beyond) - mm(t)) / every - 1e-9) + 1)
  local joists = {}
  for k, x in ipairs(spread { count = n, from = c.beyond, to = W - c.beyond, width = t }) do
    local joist = place { name = "joist", where = "number " .. k, role = "beam", duty = "beam", section = c.joist, runs = "back", wide = "up", length = D,
      at = { x = x, y = 0, z = bottom_joist } }
    for _, beam in ipairs(beams) do
      meet(joist, beam)
      connect { bodies = { joist, beam }, kinds = { "angle bracket", "screw" }, least = 4.5, load = 500 }
    end
    table.insert(joists, joist)
  end
  local rims = {}
  for _, side in ipairs({ { "front", -1 * t }, { "back", D } }) do
    local rim = place { name = "rim", where = side[1], role = "beam", duty = "nothing", section = c.joist, runs = "right", wide = "up", length = W,
      at = { x = 0, y = side[2], z = bottom_joist } }
    for _, joist in ipairs(joists) do
      meet(rim, joist)
      -- A guard's posts sway with a high deck, and prise at them.
      connect { bodies = { rim, joist }, kinds = { "angle bracket", "screw" }, least = 4.5, load = mm(H) > 840 and 1000 or 500 }
    end
    table.insert(rims, rim)
  end

  -- ---- boards along the front --------------------------------------------------------------------------------------------
  local y = from
  for k = 1, count do
    local width = c.board.width
    local narrow = nil
    if k >= count - rips and k < count then narrow = ripped end
    local joins = {}
    for i = 2, n - 1 do table.insert(joins, joists[i].left + t / 2) end
    local board = place { name = "deck board", where = "number " .. k, role = "board", duty = "walk", section = c.board, runs = "right", wide = "back",
      length = W, ripped = narrow, joins_at = mm(W) > mm(longest_sold(c.board)) and joins or nil, at = { x = 0, y = y, z = top_joist } }
    for _, joist in ipairs(joists) do
      if try_meet(board, joist) then fix { through = { board, joist }, count = 2, least = 4 } end
    end
    rest(board, rims, "screwed to the joists")
    y = y + (narrow or width) + gap
  end

  -- ---- the guard -------------------------------------------------------------------------------------------------------------
  if guarded then
    local off, r, all = named("off the deck", 5), c.guard_rail.thickness, {}
    local function side(t)
      for _, rail in ipairs(guard_side(c, t)) do
        for _, other in ipairs(all) do rest(rail, { other }, "each is held by its posts") end
        table.insert(all, rail)
      end
    end
    -- The posts before and behind stand in from the corners, so that the rails' screws stand clear of their ends there.
    local front, back, left, right, inset = -1 * t - off, D + t + off, -1 * off, W + off, r + 58
    side { where = "left", runs = "back", face = left, out = -1, from = named("front", 0), to = D, rail_from = front, rail_to = back }
    side { where = "right", runs = "back", face = right, out = 1, from = named("front", 0), to = D, rail_from = front, rail_to = back }
    if c.guard == "all round" then
      side { where = "back", runs = "right", face = back, out = 1, from = left + inset, to = right - inset, rail_from = left + r, rail_to = right - r }
    end
    local parts = { { left, right } }
    if c.steps then
      local room = named("beside the strings", 15)
      parts = { { left, c.step_from - room }, { c.step_from + c.step_width + 2 * c.string.thickness + room, right } }
    end
    -- A driver has to reach the strings' brackets between string and post; the rails run on past it.
    local driver = named("room for a driver", 170)
    for i, part in ipairs(parts) do
      local first, last = #parts == 1 or i == 1, #parts == 1 or i == 2
      local from, to = first and part[1] + inset or part[1] + driver, last and part[2] - inset or part[2] - driver
      if mm(to) - mm(from) >= mm(c.guard_post.width) then
        side { where = #parts == 1 and "front" or i == 1 and "front left" or "front right", runs = "right", face = front, out = -1, from = from, to = to,
          rail_from = first and part[1] + r or part[1], rail_to = last and part[2] - r or part[2] }
      end
    end
  end

  -- ---- steps: treads between strings; the top tread is one riser below the boards ---------------------------------------------
  if not c.steps then return end
  local front = -1 * t
  local ground = ground_at(c.step_from + c.step_width / 2, -1 * c.going)
  local total = H - ground
  local risers = math.max(2, math.ceil(mm(total) / mm(c.most_riser) - 1e-9))
  local riser = derive("riser", mm(total) / risers, "height / " .. risers .. " risers", total)
  local r, G = mm(riser), mm(c.going)
  if 2 * r + G < 550 or 2 * r + G > 700 then
    remark("going", string.format("two risers and a going make %.0f mm: 550 to 700 walk well", 2 * r + G), "another going or most_riser")
  end
  local slope = r / G
  local angle = math.atan(slope)
  local st = c.string.thickness
  local sx = c.step_from
  if mm(sx) + mm(c.step_width) + 2 * mm(st) > mm(W) + 1 then
    refuse("step_from", "the steps reach beyond the deck", "at most " .. print_length(W - c.step_width - 2 * st))
  end
  -- The strings' top edges run 9 above the line over the nosings, from the rim's face to the ground; twice that where they
  -- lie flat, so that the bolts at their feet keep off the edge.
  local head = { y = front, z = H + named("above the nosings", r < 130 and measures.usual(18, 1.125) or measures.usual(9, 0.75)) }
  local foot_y = front - (head.z - ground) / slope
  local bays = math.max(1, math.ceil(mm(c.step_width) / mm(c.string_every) - 1e-9))
  local strings = {}
  local function where(i) return i == 1 and "left" or i == bays + 1 and "right" or bays == 2 and "middle" or "number " .. i end
  for i, x in ipairs(spread { count = bays + 1, from = sx, to = sx + c.step_width + 2 * st, width = st }) do
    local string_ = lay { name = "string", where = where(i), group = "flight", role = "beam", duty = "nothing", section = c.string, wide = "up",
      edge = "high", lies = "right", ends = "square", from = { x = x, y = foot_y, z = ground }, to = { x = x, y = head.y, z = head.z },
      note = string.format("pitch %.1f°: foot cut level, head plumb", math.deg(angle)) }
    bevel(string_, { ends = "start", looks = { z = -1 } })
    bevel(string_, { ends = "finish", looks = { y = 1 } })
    meet(string_, rims[1])
    connect { bodies = { rims[1], string_ }, kinds = { "angle bracket" }, count = 2, least = 4, load = 3500 }
    table.insert(strings, string_)
  end
  -- Each foot is bolted to a short post beside it, before the lowest tread.
  for i, string_ in ipairs(strings) do
    local q = c.foot_post.width
    local inside = i > 1 and i <= bays
    local y = front - (risers - 1) * c.going - (inside and (low(c) and 70 or 55) or 5) - q
    local x = i == 1 and string_.left - q or string_.right
    local here = ground_at(x + q / 2, y + q / 2)
    local post = place { name = "leg", where = where(i) .. " string", role = "post", duty = "seat", section = c.foot_post, runs = "up", wide = "right",
      length = ground + named("above the ground", measures.usual(140, 6.75)) - here + c.foot_in_ground, at = { x = x, y = y, z = here - c.foot_in_ground } }
    post_in_ground(post, { diameter = c.hole_diameter, depth = c.foot_in_ground, fill = "concrete" })
    meet(string_, post)
    connect { bodies = { string_, post }, kinds = { "bolt", "coach bolt" }, count = measures.metric() and 1 or 2, most = 2, least = measures.usual(11, 0.36), load = 3100 }
  end
  if c.handrail == "none" and risers > 3 then
    remark("handrail", "four risers and more want a handrail, 34 to 38 in (900 mm) above the nosings", "handrail = \"right\"")
  end
  for _, side in ipairs({ { "left", strings[1].left - named("room for a driver", 150), -1, "right" }, { "right", strings[#strings].right + named("room for a driver", 150), 1, "left" } }) do
    if c.handrail == side[1] or c.handrail == "both sides" then
      handrail(c, { where = side[1], face = side[2], out = side[3], lies = side[4], front = front, run = (risers - 1) * c.going, slope = slope })
    end
  end
  local tw, tt = mm(c.tread.width), c.tread.thickness
  local boards = math.max(1, math.floor((G + 6) / (tw + 6)))
  for k = 1, risers - 1 do
    local z = ground + riser * k                 -- top of the tread
    local nose = front - (risers - k) * c.going
    -- Somebody who steps on the front board loads the front of the cleat: it begins before the tread, so that its
    -- bolts stand about evenly round that board. Where the steps are low it is ripped to clear the tread below, and where
    -- too little of it would be left for its bolts it begins behind that.
    local room = r - mm(tt) - 5
    local high = room >= 70 and room < mm(c.cleat.width) and named("cleat, ripped", room) or nil
    local before = named("before the tread", room >= 70 and (low(c) and 65 or 50) or -4)
    local cleat_width = high or c.cleat.width
    local function cleat(i, side)
      local string_ = strings[i]
      local piece = place { name = "cleat", where = where(i) .. (bays > 1 and " " .. side or "") .. " tread " .. k, group = "flight", role = "other",
        section = c.cleat, runs = "back", wide = "up", ripped = high, length = c.going + before - 25,
        at = { x = side == "right" and string_.right or string_.left - c.cleat.thickness, y = nose - before, z = z - tt - cleat_width } }
      meet(piece, string_)
      return piece
    end
    -- What lies on either face of a string shares its bolts.
    local lefts, rights = {}, {}
    for i, string_ in ipairs(strings) do
      if i > 1 then rights[i] = cleat(i, "left") end
      if i <= bays then lefts[i] = cleat(i, "right") end
      local through = {}
      for _, one in ipairs({ rights[i] or string_, string_, lefts[i] or string_ }) do
        if #through == 0 or through[#through] ~= one then table.insert(through, one) end
      end
      connect { bodies = through, kinds = { "bolt", "coach bolt" }, count = 5, most = 5, least = 7.5, load = 5000 }
    end
    for bay = 1, bays do
      local left, right = strings[bay], strings[bay + 1]
      for b = 1, boards do
        local tread = place { name = "tread", where = "tread " .. k .. (bays > 1 and " bay " .. bay or "") .. " board " .. b, group = "flight", role = "board",
          duty = "walk", section = c.tread, runs = "right", wide = "back", length = right.left - left.right,
          at = { x = left.right, y = nose + (b - 1) * (c.tread.width + 6), z = z - tt } }
        for _, one in ipairs({ lefts[bay], rights[bay + 1] }) do
          meet(tread, one)
          fix { through = { tread, one }, count = 2, least = 4 }
        end
        rest(tread, { left, right }, "held to the cleats")
        rest(tread, rims, "held to the cleats")
      end
    end
  end
  assembly("flight", { flat = true })
  remark("most_riser", string.format("%d risers of %.1f mm and %d treads of %.0f mm: a run of %.0f mm at %.1f°, 2r+G %.0f mm", risers, r, risers - 1, G, (risers - 1) * G, math.deg(angle), 2 * r + G), "count from finished paving, so that the first riser is equal")
end

return pattern
