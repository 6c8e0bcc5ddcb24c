-- SPDX-License-Identifier: Apache-2.0
-- One straight run of fence on the ground as it lies. Corners and gates are where two runs share a post.
--
--   x  along the line, 0 at the outer face of the first post
--   y  from the front, 0 in the middle of the posts
--   z  up from the ground at the first post
--
--     raked: all follows the ground      stepped: level bays            levelled top: boards cut to the ground
--      ┃▏▏▏┃                              ┃▏▏▏┃                          ┃▏▏▏┃▏▏▏┃▏▏▏┃
--      ┃▏▏▏┃▏▏▏┃                          ┃▏▏▏┃▏▏▏┃                      ┃▏▏▏┃▏▏▏┃▏▏▏┃
--      ╨   ┃▏▏▏┃▏▏▏┃                      ╨   ┃▏▏▏┃▏▏▏┃                  ╨   ┃▏▏▏┃▏▏▏┃
--          ╨   ┃▏▏▏┃                          ╨   ┃▏▏▏┃                      ╨   ┃▏▏▏┃

local function is(c, ...)
  for _, kind in ipairs({ ... }) do
    if c.kind == kind then return true end
  end
  return false
end
local function upright(c) return is(c, "close-board", "picket", "hit-and-miss") end
local function bought(c) return c.kind == "panels" or c.kind == "trellis" end
-- How high what fills the bays is: bought panels say it themselves.
local function stands(c) return mm(bought(c) and c.panel.height or c.height) end
-- At the ends of a solid run much longer than high the wind presses hardest (EN 1991-1-4 Table 7.9).
local function long(c) return mm(c.length) > 7 * stands(c) and not is(c, "picket", "post-and-rail", "trellis") end
-- What the wind takes for a wall: it wants stouter posts, nearer and deeper.
local function solid(c) return is(c, "close-board", "hit-and-miss", "panels") end

local measures = shared "measures"

-- What is usual from a height (mm) on, the highest step first: { from, millimetres, inches }.
local function by_height(height, steps)
  for _, step in ipairs(steps) do
    if height >= step[1] then return measures.usual(step[2], step[3]) end
  end
end

local pattern = {
  name = "fence",
  title = "Fence",
  help = "A run of fence: close-board, picket, hit-and-miss, slatted, post-and-rail, or bought panels, on ground as it lies.",
  choices = {
    { name = "length", unit = "length", least = 500, most = 100000, default = 7300, group = "Size",
      help = "of the run, outer face to outer face of its end posts" },
    { name = "kind", unit = "option", group = "Kind", default = "close-board",
      options = { "close-board", "picket", "hit-and-miss", "slatted", "post-and-rail", "panels", "trellis" },
      help = "what fills the bays" },
    { name = "panel", unit = "panel", role = "fence_panel", group = "Panel",
      default = function(c) return is(c, "trellis") and "fence_trellis" or nil end, help = "bought panels" },
    { name = "height", unit = "length", least = 300, most = 2500, group = "Size",
      default = function(c)
        return is(c, "picket") and measures.usual(1000, 36) or is(c, "post-and-rail") and measures.usual(1100, 42) or measures.usual(1500, 60)
      end,
      help = "top of the infill above the ground; of panels what the panel gives" },
    { name = "ground", unit = "option", default = "raked", group = "Ground",
      options = { "raked", "stepped", "levelled top", "level" },
      help = "how it takes a slope: parallel to it, in level bays, with one level top, or not at all" },
    { name = "max_spacing", unit = "length", least = 500, most = 3600, group = "Size",
      default = function(c)
        -- The wind on a bay goes to one post, and near its ends a solid fence takes nearly twice what its middle takes
        -- (EN 1991-1-4 Table 7.9): bays such that the posts below stand in a suburb's gale.
        local h = mm(c.height)
        if solid(c) then return by_height(h, { { 1651, 1250, 42 }, { 1251, 1400, 54 }, { 0, 1830, 72 } }) end
        return is(c, "slatted") and measures.usual(1500, 60) or measures.usual(1830, 48)
      end,
      help = "farthest from post to post, middle to middle; the bays are made equal" },
    { name = "post_top", unit = "length", least = 0, most = 600, group = "Size",
      default = function(c) return is(c, "post-and-rail") and measures.usual(100, 4) or is(c, "picket") and measures.usual(50, 2) or 0 end,
      help = "posts above the infill" },
    { name = "foot", unit = "length", least = 0, most = 400, group = "Size",
      default = function(c) return is(c, "post-and-rail") and 300 or 50 end,
      help = "clear between the ground and what hangs above it; a gravel board stands on the ground" },
    { name = "with_gravel_board", unit = "yes-no", group = "Kind",
      default = function(c) return is(c, "close-board") end, help = "a gravel board in each bay" },
    { name = "in_ground", unit = "length", least = 300, most = 1800, group = "Ground",
      default = function(c)
        local h = stands(c)
        -- A gravel board lifts what hangs above it, and closes what was open.
        local more = c.with_gravel_board and not is(c, "close-board", "hit-and-miss", "post-and-rail") and measures.usual(100, 6) or 0
        local steps = solid(c) and { { 1900, 1450, 62 }, { 1600, 1300, 58 }, { 1251, 1200, 50 }, { 1001, 1050, 48 }, { 0, 900, 42 } }
          or is(c, "slatted") and { { 1600, 1250, 54 }, { 1051, 1050, 50 }, { 0, 850, 42 } }
          or { { 1600, 1150, 48 }, { 1051, 1000, 48 }, { 0, 800, 42 } }
        local deep = by_height(h, steps)
        return deep + (long(c) and measures.usual(100, 8) or 0) + (is(c, "picket") and 1.5 or 1) * more
      end,
      help = "how far the posts stand in the ground; under a level top more, where they stand higher" },
    { name = "hole_diameter", unit = "length", least = 150, most = 900, group = "Ground",
      default = function() return measures.usual(300, 18) end, help = "width of the round post holes" },
    { name = "gravel", unit = "length", least = 0, most = 300, default = 100, group = "Ground",
      help = "compacted gravel under each post" },
    { name = "fill", unit = "option", options = { "postmix", "concrete" }, default = "concrete", group = "Ground",
      help = "what the holes are filled with" },
    { name = "post", unit = "section", role = "post", group = "Timber",
      default = function(c)
        if is(c, "panels") and mm(c.panel.height) + (c.with_gravel_board and 150 or 0) > 1600 or stands(c) >= (long(c) and 1750 or 1900) and not is(c, "post-and-rail", "trellis") then
          return "post_panels"
        end
        -- Somebody who leans on it breaks a 4x4 by the American rules, whatever fills the bays.
        local most = is(c, "post-and-rail") and math.huge or is(c, "picket") and 1250 or is(c, "hit-and-miss") and 1100 or 1000
        return (not measures.metric() or stands(c) > most) and "post_large" or nil
      end, help = "posts" },
    { name = "end_post", unit = "section", optional = true, group = "Timber",
      help = "first and last post, when they are to be stronger than the others" },
    { name = "tall_post", unit = "section", role = "post_panels", group = "Timber",
      help = "posts that stand far higher than the fence: where its top is level and the ground falls" },
    { name = "rails", unit = "count", least = 2, most = 8, group = "Kind",
      default = function(c)
        local h = mm(c.height)
        if is(c, "post-and-rail") then return 3 end
        return h > 1800 and not is(c, "picket") and 4 or h > (is(c, "close-board") and 1200 or 1050) and 3 or 2
      end,
      help = "rails of each bay" },
    { name = "rail", unit = "section", role = "rail", group = "Timber", help = "rails" },
    { name = "rails_run", unit = "option", options = { "in front of posts", "between posts" }, group = "Kind",
      default = function(c) return is(c, "slatted") and "in front of posts" or "between posts" end,
      help = "rails cut in between the posts, on brackets, or past the posts' fronts, butted on their middles" },
    { name = "infill", unit = "option", options = { "in front of posts", "between posts" }, group = "Kind",
      default = function(c)
        return is(c, "hit-and-miss") and "between posts" or is(c, "close-board") and "in front of posts" or c.rails_run
      end,
      help = "pales and boards in one row past the posts, or a row for each bay" },
    { name = "board", unit = "section", role = "featheredge", group = "Timber", help = "boards of a close-board fence" },
    { name = "overlap", unit = "length", least = 0, most = 60, group = "Kind",
      -- Featheredge laps 20 to 25 (common practice); boards of one thickness stand edge to edge.
      default = function(c) return mm(c.board.thickness) < 15 and 25 or 0 end,
      help = "least that one close-board board laps over the next; it is evened out" },
    { name = "pale", unit = "section", role = "pale", group = "Timber",
      help = "pales, hit-and-miss boards or slats" },
    { name = "gap", unit = "length", least = 0, most = 200, group = "Kind",
      default = function(c) return is(c, "hit-and-miss") and mm(c.pale.width) - 50 or is(c, "slatted") and 30 or 60 end,
      help = "widest gap between pales or slats; it is evened out" },
    { name = "pale_ends", unit = "option", options = { "parallel", "square" }, default = "parallel", group = "Kind",
      help = "on a rake: pales cut to the slope at top and foot, or left square" },
    { name = "gravel_board", unit = "section", role = "gravel_board", group = "Timber",
      help = "board on the ground below the infill" },
    { name = "cleat", unit = "section", role = "purlin", group = "Timber", help = "what gravel boards are screwed to" },
    { name = "fit", unit = "length", least = 0, most = 30, default = 6, group = "Panel",
      help = "how much wider a bay is than its panel" },
    { name = "last_panel", unit = "option", options = { "cut", "shift" }, default = "cut", group = "Panel",
      help = "what is left of the run: a panel is cut to it, or the run ends where whole panels end" },
    { name = "batten", unit = "section", role = "batten", group = "Timber", help = "stops behind bought panels" },
  },
}

-- The line of the ground, known at its breaks and straight between them.
local function ground_of(length)
  local points = ground_profile(0, 0, length, 0)
  local line = {}
  function line.at(x)
    local last = points[1]
    for i = 2, #points do
      if mm(points[i].x) >= mm(x) or i == #points then
        local run = mm(points[i].x) - mm(last.x)
        if run == 0 then return last.level end
        return last.level + (points[i].level - last.level) * ((mm(x) - mm(last.x)) / run)
      end
      last = points[i]
    end
    return last.level
  end
  -- Highest and lowest between two places.
  function line.between(from, to)
    local high, low = line.at(from), line.at(from)
    local function look(level)
      if level > high then high = level end
      if level < low then low = level end
    end
    look(line.at(to))
    for _, p in ipairs(points) do
      if mm(p.x) > mm(from) and mm(p.x) < mm(to) then look(p.level) end
    end
    return high, low
  end
  return line
end

-- ---- where the posts stand -------------------------------------------------------------------------------------------

-- Middles of the posts: even bays, or bays that bought panels give.
local function stations(c)
  local p, run = c.post.width, c.length - c.post.width
  local middles = {}
  if not bought(c) then
    local bays = math.max(1, math.ceil(mm(run) / mm(c.max_spacing) - 1e-9))
    local spacing = derive("spacing", mm(run) / bays, "(length − post) / " .. bays .. " bays", c.length, p)
    for i = 0, bays do table.insert(middles, p / 2 + i * spacing) end
    return middles, spacing
  end
  local pitch = c.panel.width + c.fit + p
  local whole = math.floor(mm(run) / mm(pitch) + 1e-9)
  local rest = run - whole * pitch
  for i = 0, whole do table.insert(middles, p / 2 + i * pitch) end
  if mm(rest) > 1 then
    if c.last_panel == "shift" or mm(rest) < mm(p) + 150 then
      remark("length", "the run ends " .. print_length(rest) .. " short: " .. whole .. " whole panels reach "
        .. print_length(c.length - rest), "give that length, or choose other panels")
      if whole == 0 then
        refuse("length", "no whole panel fits into " .. print_length(c.length), "give at least " .. print_length(pitch + p))
      end
    else
      table.insert(middles, c.length - p / 2)
      if mm(rest) - mm(p) < 600 then
        remark("length", "the last bay is only " .. print_length(rest - p) .. " wide: it looks like a mistake", "another length, or last_panel = \"shift\"")
      end
      remark("panel", "the last panel is cut to " .. print_length(rest - p - c.fit)
        .. ": take an end lath off, cut, and nail it on again", "choose last_panel = \"shift\" to keep them whole")
    end
  end
  return middles, pitch
end

-- ---- the line that a bay follows -------------------------------------------------------------------------------------

-- For each bay: `low(x)` and `high(x)` are where its infill begins and ends, `slope` its rake.
local function bays_of(c, line, middles, post_at)
  local bays = {}
  local gravel = c.with_gravel_board and c.gravel_board.width or nil
  local first, last = middles[1], middles[#middles]
  local top = nil
  if c.ground == "level" or c.ground == "levelled top" then
    local high, low = line.between(0, c.length)
    if c.ground == "level" and mm(high) - mm(low) > 5 then
      refuse("ground", "the ground falls " .. print_length(high - low) .. " along the run",
        "choose ground = \"raked\", \"stepped\" or \"levelled top\"")
    end
    top = high + c.height
    if mm(high) - mm(low) > 400 then
      remark("ground", "the fence is " .. print_length(high - low) .. " higher at one place than at another",
        "choose ground = \"stepped\" or \"raked\", or make it in two runs with a step between them")
    end
  end
  for i = 1, #middles - 1 do
    local from, to = middles[i], middles[i + 1]
    local left, right = from + c.post.width / 2, to - c.post.width / 2
    local run = mm(to) - mm(from)
    local bay = { from = from, to = to, left = left, right = right, slope = 0, number = i }
    if c.ground == "stepped" then
      local high, low = line.between(left, right)
      local bottom = high + c.foot
      if gravel then bottom = high end
      bay.bottom = bottom
      bay.foot = function() return gravel and bottom + gravel or bottom end
      bay.under = function() return bottom end
      bay.top = function()
        return bought(c) and bay.foot() + c.panel.height or high + c.height
      end
      bay.most_gap = bottom - low
    elseif top then
      -- A gravel board lies straight from post to post, whatever the ground does between.
      local a, b = line.at(from), line.at(to)
      local function along(x) return a + (b - a) * ((mm(x) - mm(from)) / run) end
      bay.stands = gravel and gravel / math.cos(math.atan((mm(b) - mm(a)) / run)) or c.foot
      bay.under = along
      bay.foot = function(x) return most(along(x), line.at(x)) + bay.stands end
      bay.top = function() return top end
    else
      local a, b = line.at(from), line.at(to)
      bay.slope = (mm(b) - mm(a)) / run
      local angle = math.atan(bay.slope)
      local function along(x) return a + (b - a) * ((mm(x) - mm(from)) / run) end
      bay.under = along
      bay.foot = function(x) return along(x) + (gravel and gravel / math.cos(angle) or c.foot) end
      bay.top = function(x) return along(x) + c.height end
      -- Ground that bulges or sinks between two posts.
      local worst = 0
      for step = 1, 19 do
        local x = from + (to - from) * (step / 20)
        local over = mm(line.at(x)) - mm(along(x))
        if math.abs(over) > math.abs(worst) then worst = over end
      end
      if worst > mm(c.foot) and not gravel then
        remark("ground", "the ground bulges " .. print_length(worst) .. " into bay " .. i, "dig it away there, or move a post to the break")
      elseif math.abs(worst) > 100 then
        remark("ground", "the ground lies " .. print_length(math.abs(worst)) .. " off the line between the posts of bay " .. i,
          "choose a smaller max_spacing, so that a post stands at the break")
      end
      if math.abs(bay.slope) > 0.25 then
        remark("ground", string.format("bay %d rakes by 1 in %.1f: pales look wrong and rail ends get long", i, 1 / math.abs(bay.slope)),
          "choose ground = \"stepped\"")
      end
    end
    table.insert(bays, bay)
  end
  if bought(c) and c.ground ~= "stepped" then
    local high, low = line.between(0, c.length)
    if mm(high) - mm(low) > 20 then
      refuse("ground", "bought panels are square and cannot be raked on ground that falls " .. print_length(high - low),
        "choose ground = \"stepped\"")
    end
    for _, bay in ipairs(bays) do
      local h = line.between(bay.left, bay.right)
      bay.slope = 0
      local bottom = h + (gravel or c.foot)
      bay.under = function() return h end
      bay.foot = function() return bottom end
      bay.top = function() return bottom + c.panel.height end
    end
  end
  return bays
end

local function tell_of_steps(c, bays, line)
  local worst, step, highest = 0, 0, 0
  for i, bay in ipairs(bays) do
    if bay.most_gap and mm(bay.most_gap) > worst then worst = mm(bay.most_gap) end
    if i > 1 then step = math.max(step, math.abs(mm(bay.top(bay.from)) - mm(bays[i - 1].top(bay.from)))) end
    local high, low = line.between(bay.left, bay.right)
    highest = math.max(highest, mm(bay.top(bay.right)) - mm(low))
    highest = math.max(highest, mm(bay.top(bay.left)) - mm(line.at(bay.left)))
  end
  if worst > 150 then
    remark("ground", "up to " .. print_length(worst) .. " stays open under the low ends of the bays: children and dogs get through",
      "a smaller max_spacing, or a gravel board cut to the ground (with_gravel_board)")
  end
  if step > 300 or step > mm(c.height) / 3 then
    remark("ground", "the steps between bays are up to " .. print_length(step), "choose a smaller max_spacing")
  end
  if highest > 2000 then
    remark("height", "the top is up to " .. print_length(highest)
      .. " above the ground: over 2 m many places ask for permission, ask locally", "a lower fence, or more and shorter bays")
  end
end

-- ---- what is built ---------------------------------------------------------------------------------------------------

function pattern.build(c)
  if c.end_post and c.end_post.width ~= c.end_post.thickness then
    refuse("end_post", "the end posts are not square", "choose a square section")
  end
  if solid(c) and not c.end_post and mm(c.height) > 1250 then
    -- Zone A, to 0.3 of the height, takes 2.3 to 3.4 where the middle takes 1.2 (EN 1991-1-4 Table 7.9).
    remark("end_post", "the wind presses the free ends of a closed fence two to three times as hard as its middle",
      "the checks look at it; a stouter end_post, a nearer last post, or a return round the corner as long as the fence is high, would do")
  end
  local middles, pitch = stations(c)
  local count = #middles
  local reach = middles[count] + c.post.width / 2
  local line = ground_of(reach)
  local bays = bays_of(c, line, middles)
  tell_of_steps(c, bays, line)
  local half = c.post.width / 2
  local fall_under_it = c.ground == "levelled top"
  -- Under a level top a post stands as high as the ground asks: deeper and in a wider hole in step with it, and of a stouter
  -- section where it is much higher than the fence.
  local function share_of(i, high)
    return fall_under_it and math.max(1, (mm(high) - mm(line.at(middles[i]))) / (mm(c.height) + 10)) or 1
  end
  local function post_section(i, share)
    local own = (i == 1 or i == count) and c.end_post or c.post
    if share > 1.12 and c.tall_post.width > own.width then return c.tall_post end
    return own
  end

  -- Posts: as high as the higher of their neighbours, and each set for the ground where it stands.
  local posts = {}
  for i, x in ipairs(middles) do
    local high = nil
    for _, bay in ipairs({ bays[i - 1] or bays[1], bays[i] or bays[count - 1] }) do
      local top = bay.top(x)
      if not high or top > high then high = top end
    end
    local share = share_of(i, high)
    local section = post_section(i, share)
    local stout = section.width > c.post.width and not (c.end_post and section.width == c.end_post.width)
    local ground = line.at(x)
    -- As far as a spade goes (checked against 1500 with the gravel below it) and posts are sold.
    local deep = share > 1.02 and most(c.in_ground, least(c.in_ground * share * share, named("spade", 1500) - c.gravel,
      longest_sold(section) - (high + c.post_top - ground))) or c.in_ground
    local where = i == 1 and "first" or i == count and "last" or "number " .. i
    -- Outer faces of the end posts stay where the run ends.
    local left = x - section.width / 2
    if i == 1 then left = x - half elseif i == count then left = x + half - section.width end
    local post = place { name = "post", where = where, role = "post", section = section, runs = "up", wide = "right",
      length = high + c.post_top - ground + deep,
      -- A stouter one keeps the line of the fronts, where rails may run past.
      at = { x = left, y = -1 * (stout and c.post or section).thickness / 2, z = ground - deep } }
    post_in_ground(post, { diameter = share > 1.05 and c.hole_diameter * share or c.hole_diameter, depth = deep + c.gravel, gravel = c.gravel, fill = c.fill })
    table.insert(posts, post)
  end
  local front = -1 * c.post.thickness / 2   -- the posts' front faces
  if c.end_post then front = least(front, -1 * c.end_post.thickness / 2) end

  local function between(i) return { posts[i], posts[i + 1] } end
  local function rake(bay) return math.sqrt(1 + bay.slope * bay.slope) end
  local function edge_note(long, slope)
    if slope == 0 then return "" end
    return print_length(long) .. " along each edge, both ends " .. string.format("%.1f°", math.deg(math.atan(math.abs(slope))))
      .. " off square"
  end

  -- A level or raked timber from post to post, its underside at `low(x)`.
  local function cross(i, bay, t)
    local in_front = t.in_front
    local a = in_front and (i == 1 and posts[1].left or bay.from) or posts[i].right
    local b = in_front and (i == count - 1 and posts[count].right or bay.to) or posts[i + 1].left
    local y = in_front and t.face - t.section.thickness or t.y
    -- Under a levelled top the gravel boards follow the ground, and the rails do not.
    local slope = (mm(t.low(b)) - mm(t.low(a))) / mm(b - a)
    if math.abs(slope) < 1e-6 then slope = 0 end
    local long = (b - a) * math.sqrt(1 + slope * slope)
    local note = edge_note(long, slope)
    if mm(long) > mm(longest_sold(t.section)) then
      refuse(t.choice, "a " .. t.name .. " of " .. print_length(long) .. " is longer than any " .. t.section.name
        .. " that the yard sells", "choose a smaller max_spacing, or another section")
    end
    local piece
    if slope == 0 and not in_front then
      piece = butt { name = t.name, where = t.where, role = t.role, section = t.section, duty = t.duty, carries = t.carries,
        between = between(i), runs = "right", wide = "up", at = { y = y, z = t.low(a) } }
    else
      piece = lay { name = t.name, where = t.where, role = t.role, section = t.section, duty = t.duty, carries = t.carries, note = note,
        from = { x = a, y = y, z = t.low(a) }, to = { x = b, y = y, z = t.low(b) }, wide = "up", lies = "back" }
      for _, post in ipairs(between(i)) do meet(post, piece, in_front and "face" or "butt") end
    end
    for _, post in ipairs(between(i)) do
      if in_front and t.duty == "screen" then
        -- Butted on the posts' middles they are no ties: each hangs on its posts, and is judged below.
        fix { through = { piece, post }, kind = { "screw", "nail" }, count = 2, least = t.least }
      elseif in_front then
        connect { bodies = { piece, post }, kinds = { "structural screw", "coach screw", "screw" }, count = 2, least = t.least or 5.5,
          load = t.load or 400 }
      elseif t.loose then
        rest(piece, { post }, "fixed to the cleats beside it")
      else
        -- Where brackets have little room, screws into the rail's end would be no better: there they hold nothing.
        connect { bodies = { post, piece }, kinds = (slope ~= 0 or fall_under_it) and { "angle bracket" } or { "angle bracket", "screw" }, least = t.least or 4.5, load = t.load or 1700 }
      end
    end
    return piece
  end

  -- Gravel boards stand on the ground: on the posts' fronts as the rails do, or between the posts on a cleat at each end.
  local in_front = c.rails_run == "in front of posts"
  local gravel_y = front
  local gravels = {}
  if c.with_gravel_board and in_front then
    local previous = nil
    for i, bay in ipairs(bays) do
      local board = cross(i, bay, { name = "gravel board", where = "bay " .. i, role = "board", duty = "soil", carries = false,
        section = c.gravel_board, low = bay.under, in_front = true, face = front, choice = "gravel_board" })
      if previous then rest(board, { previous }, "both fixed to the post behind") end
      previous = board
      gravels[i] = board
    end
  elseif c.with_gravel_board then
    for i, bay in ipairs(bays) do
      local board = cross(i, bay, { name = "gravel board", where = "bay " .. i, role = "board", duty = "soil", carries = false,
        section = c.gravel_board, low = bay.under, y = gravel_y, choice = "gravel_board", loose = true })
      gravels[i] = board
      for _, side in ipairs({ "left", "right" }) do
        local post = side == "left" and posts[i] or posts[i + 1]
        local x = side == "left" and post.right or post.left - c.cleat.thickness
        local low = most(bay.under(x), bay.under(x + c.cleat.thickness))
        local cleat = place { name = "cleat", where = side .. " bay " .. i, role = "batten", carries = false, section = c.cleat,
          runs = "up", wide = "back", length = c.gravel_board.width - named("below its edge", 30),
          at = { x = x, y = gravel_y + c.gravel_board.thickness, z = low } }
        meet(cleat, post)
        fix { through = { cleat, post }, count = 2, least = 4 }
        meet(board, cleat)
        fix { through = { board, cleat }, count = 2, least = 4 }
      end
    end
  end

  if bought(c) then
    for i, bay in ipairs(bays) do
      local width = posts[i + 1].left - posts[i].right - c.fit
      local whole = mm(width) > mm(c.panel.width) - 0.5
      local y = -1 * (c.panel.thickness + c.batten.width) / 2
      local filling = panel { name = "bay " .. i, item = c.panel.item, width = whole and c.panel.width or width,
        height = c.panel.height, thickness = c.panel.thickness,
        mass = c.panel.mass * math.min(1, mm(width) / mm(c.panel.width)), solidity = c.panel.solidity, runs = "right",
        at = { x = posts[i].right + c.fit / 2, y = y, z = bay.foot() } }
      for _, side in ipairs({ "left", "right" }) do
        local post = side == "left" and posts[i] or posts[i + 1]
        local stop = place { name = "stop", where = side .. " bay " .. i, role = "batten", section = c.batten, runs = "up",
          wide = "back", length = c.panel.height, carries = false,
          at = { x = side == "left" and post.right or post.left - c.batten.thickness, y = y + c.panel.thickness, z = bay.foot() } }
        meet(stop, post)
        fix { through = { stop, post }, count = 4, every = 500 }
        meet(filling, stop, "panel")
        fix { through = { filling, stop }, count = 3, every = 600 }
      end
      rest(filling, between(i), "held by the stops behind it")
      if gravels[i] then rest(filling, { gravels[i] }, "held by the stops behind it") end
    end
    return
  end

  -- Rails. Pales before them need room within the posts where both stand between them.
  local rail_y = -1 * c.rail.thickness / 2
  if not in_front and c.infill == "in front of posts" then rail_y = front end
  -- Brackets sit under level rails; under raked ones no corner is square, so the rails stand forward and leave room behind them
  -- for a stout one: on slim posts a little proud of their fronts.
  for _, bay in ipairs(bays) do
    if bay.slope ~= 0 and not in_front then
      local wanting = named("room behind the rail", 73) - (c.post.thickness - c.rail.thickness)
      rail_y = front - most(named("flush", 0), least(wanting, c.rail.thickness / 2))
    end
  end
  local rails, slats = {}, c.kind == "slatted"
  -- About what a gale of 24 m/s in a suburb presses on a bay, 0.83 kN/m² with its partial factor, by the ends of its rails.
  local tallest = mm(c.height)
  for _, bay in ipairs(fall_under_it and bays or {}) do
    for _, x in ipairs({ bay.left, bay.right }) do tallest = math.max(tallest, mm(bay.top(x)) - mm(line.at(x))) end
  end
  local rail_load = math.max(tallest > mm(c.height) + 20 and 2450 or 0, (is(c, "hit-and-miss") and 1800 or 1700) * (long(c) and 1.25 or 1) * (solid(c) and c.rails == 2 and 1.2 or 1) * tallest / mm(c.height), 0.0033 * mm(pitch) * tallest / c.rails / 2)
  local post_and_rail = c.kind == "post-and-rail"
  -- What stands between foot and top; where the top is level and the ground not, where that is least.
  local function tall_of(bay, middle)
    if c.ground ~= "levelled top" then return mm(bay.top(middle)) - mm(bay.foot(middle)) end
    local high = line.between(bay.left - c.post.width, bay.right + c.post.width)
    return mm(bay.top(middle)) - mm(most(high, bay.under(bay.left - c.post.width), bay.under(bay.right + c.post.width))) - mm(bay.stands)
  end
  local function up_in(bay, x, tall, up)
    if c.ground == "levelled top" then return bay.top(x) - (tall - up) end
    return bay.foot(x) + up
  end
  for i, bay in ipairs(bays) do
    rails[i] = {}
    local middle = (bay.from + bay.to) / 2
    if not slats then
      local tall = tall_of(bay, middle)
      -- Top and bottom rail stand back from the ends of the pales by a sixth of them, 150 to 200 (common practice).
      local back = post_and_rail and 0 or math.min(200, math.max(100, tall / 8))
      local deep = mm(c.rail.width) * rake(bay)
      for n = 1, c.rails do
        local part = (n - 1) / (c.rails - 1)
        local up = back + part * (tall - 2 * back - deep)
        if tall - 2 * back - deep < (c.rails - 1) * deep then
          refuse("rails", c.rails .. " rails do not fit into " .. print_length(tall), "give fewer rails or a greater height")
        end
        table.insert(rails[i], cross(i, bay, { name = "rail", where = "bay " .. i .. " number " .. n, role = "rail",
          duty = post_and_rail and "guard" or nil, section = c.rail, in_front = in_front, face = front, y = rail_y, choice = "rail", load = rail_load,
          low = function(x) return up_in(bay, x, tall, up) end }))
      end
    else
      local tall = tall_of(bay, middle)
      local w = mm(c.pale.width) * rake(bay)
      local n = math.max(1, math.ceil((tall + mm(c.gap)) / (w + mm(c.gap)) - 1e-9))
      local gap = n > 1 and (tall - n * w) / (n - 1) or 0
      if gap < 0 then
        n = n - 1
        gap = n > 1 and (tall - n * w) / (n - 1) or 0
      end
      for k = 1, n do
        local up = (k - 1) * (w + gap)
        local slat = cross(i, bay, { name = "slat", where = "bay " .. i .. " number " .. k, role = "board", duty = "screen", section = c.pale, carries = false,
          in_front = in_front, face = front, y = -1 * c.pale.thickness / 2, choice = "pale", least = 3.9,
          low = function(x) return up_in(bay, x, tall, up) end })
        table.insert(rails[i], slat)
      end
      -- A gale of 24 m/s in a suburb presses about 0.83 kN/m² with its partial factor; C16 bears 16 · 0.7 / 1.3 N/mm² of it, and
      -- slats that bend by more than a hundredth of their span show it (EN 1995-1-1, common practice).
      local long, thick = mm(bay.to) - mm(bay.from), mm(c.pale.thickness)
      local bending, bends = 0.75 * 0.83e-3 * long * long / (thick * thick), 0.83e-3 / 1.5 * 5 / 32 * long * long * long * long / (8000 * thick * thick * thick)
      if bending > 8.6 or bends > long / 100 then
        remark("pale", string.format("slats %.0f mm thick take %.1f N/mm² and bend %.0f mm over %.0f mm in a gale: too much", thick, bending, bends, long),
          "a smaller max_spacing, or thicker slats")
      end
      if i == 1 and n > 1 and gap > 8 and gap < 25 then
        remark("gap", "gaps of " .. print_length(gap) .. " can catch a child's finger (8 to 25 mm)", "a gap under 8 mm or over 25 mm")
      end
    end
  end
  if in_front then
    -- Beside one another on a post's front, at whatever height the steps leave them.
    for i = 1, count - 1 do
      for _, rail in ipairs(rails[i]) do
        if rails[i + 1] then rest(rail, rails[i + 1], "both fixed to the post behind") end
        for k = math.max(1, i - 1), math.min(count - 1, i + 1) do
          if gravels[k] then rest(rail, { gravels[k] }, "both fixed to the post behind") end
        end
      end
    end
  end
  if not in_front then
    for i = 1, count - 1 do
      for _, rail in ipairs(rails[i]) do
        if gravels[i] then rest(rail, { gravels[i] }, "both held at the posts") end
      end
    end
  end
  if not upright(c) then return end

  -- ---- boards and pales ----------------------------------------------------------------------------------------------
  local board_front = (in_front and front - c.rail.thickness or rail_y)
  local number = 0
  local function bay_at(x)
    for _, bay in ipairs(bays) do
      if mm(x) <= mm(bay.to) + 1e-6 then return bay end
    end
    return bays[#bays]
  end
  -- One upright board; its middle decides which bay it belongs to.
  local function board(x, y, section, bay, laps, previous)
    number = number + 1
    local width = section.width - laps
    local low_x, high_x = x, x + width
    local slope = c.pale_ends == "parallel" and bay.slope or 0
    local foot, top
    if c.ground == "levelled top" then
      local high = line.between(low_x, high_x)
      -- Over a gravel board that falls it clears by a little, or it would stand on one corner.
      local clear = c.with_gravel_board and mm(bay.under(low_x)) ~= mm(bay.under(high_x)) and 1 or 0
      foot = most(high, bay.under(low_x), bay.under(high_x)) + bay.stands + clear
      top = bay.top(x)
    else
      foot = least(bay.foot(low_x), bay.foot(high_x))
      -- Square feet dip by half their rake, but not into a gravel board.
      if slope == 0 then
        foot = c.with_gravel_board and most(bay.foot(low_x), bay.foot(high_x)) + 1 or (bay.foot(low_x) + bay.foot(high_x)) / 2
      end
      top = foot + (bay.top(x) - bay.foot(x)) + width * math.abs(slope)
    end
    local piece = place { name = c.kind == "picket" and "pale" or "board", where = "number " .. number, role = "board",
      duty = "screen", carries = false, section = section, laps = laps, runs = "up", wide = "right", length = top - foot,
      at = { x = x, y = y, z = foot } }
    if slope ~= 0 then
      bevel(piece, { ends = "both", looks = { x = -1 * slope, z = 1 } })
    end
    local held = 0
    local function nail(what)
      held = held + 1
      if not try_fix { through = { piece, what }, kind = "nail", count = 1 } then
        fix { through = { piece, what }, kind = { "nail", "screw" }, count = 1 }
      end
    end
    for i, list in ipairs(rails) do
      if mm(bays[i].to) > mm(x) - 200 and mm(bays[i].from) < mm(high_x) + 200 then
        for _, rail in ipairs(list) do
          if try_meet(piece, rail) then nail(rail) end
        end
      end
    end
    -- A board that stands over a post alone is nailed to that, as often as to rails.
    if held == 0 then
      for _, post in ipairs(posts) do
        if try_meet(piece, post) then
          fix { through = { piece, post }, kind = { "nail", "screw" }, count = c.rails }
          held = held + c.rails
        end
      end
    else
      rest(piece, posts, "nailed to the rails")
    end
    if held == 0 then
      refuse("rails", "a board at " .. print_length(x) .. " meets no rail", "rails_run = \"in front of posts\"")
    end
    if previous then rest(piece, { previous }, "nailed to the rails") end
    for k = math.max(1, bay.number - 1), math.min(count - 1, bay.number + 1) do
      if gravels[k] then rest(piece, { gravels[k] }, "nailed to the rails") end
    end
    return piece
  end

  if c.kind == "close-board" then
    local w, o, total = mm(c.board.width), mm(c.overlap), mm(reach)
    local runs = c.infill == "in front of posts" and { { 0, reach } } or {}
    if #runs == 0 then
      for i = 1, count - 1 do table.insert(runs, { posts[i].right, posts[i + 1].left }) end
    end
    for _, run in ipairs(runs) do
      local long = mm(run[2] - run[1])
      local n = math.max(2, math.ceil((long - o) / (w - o) - 1e-9))
      local laps = named("overlap", (n * w - long) / (n - 1))
      if mm(laps) > w / 2 then refuse("length", "a run of boards is only " .. print_length(long) .. " long", "a longer run") end
      -- Boards of one thickness: what is over comes off the first and the last, ripped alike.
      local previous = nil
      local cover = c.board.width - laps
      for k = 0, n - 1 do
        local x = run[1] + k * cover
        -- The last one shows its whole width.
        local last = k == n - 1
        previous = board(x, board_front - (last and c.board.thickness or c.board.thickness * (w / mm(cover))), c.board,
          bay_at(x + cover / 2), last and 0 or laps, previous)
      end
    end
  elseif c.kind == "picket" then
    local w, g = mm(c.pale.width), mm(c.gap)
    if c.infill == "between posts" then
      for i, bay in ipairs(bays) do
        local from, clear = posts[i].right, posts[i + 1].left - posts[i].right
        local n = math.max(1, math.ceil((mm(clear) - g) / (w + g) - 1e-9))
        local gap = derive("gap", (mm(clear) - n * w) / (n + 1), "(clear − " .. n .. " pales) / " .. (n + 1), clear, c.pale.width)
        if mm(gap) < 0 then refuse("gap", "the pales do not fit between the posts", "a greater gap") end
        for k = 1, n do
          board(from + gap * k + c.pale.width * (k - 1), board_front - c.pale.thickness, c.pale, bay, named("overlap", 0))
        end
      end
    else
      local n = math.max(2, math.ceil((mm(reach) + g) / (w + g) - 1e-9))
      local gap = derive("gap", (mm(reach) - n * w) / (n - 1), "(length − " .. n .. " pales) / " .. (n - 1), c.length, c.pale.width)
      for k = 0, n - 1 do
        local x = (gap + c.pale.width) * k
        board(x, board_front - c.pale.thickness, c.pale, bay_at(x + c.pale.width / 2), named("overlap", 0))
      end
    end
    if g >= 89 and g <= 230 then
      remark("gap", "gaps of 89 to 230 mm can trap a child's head", "a smaller gap")
    end
  else
    -- Hit-and-miss: boards on both faces of the rails, the far ones over the gaps of the near ones.
    local w, g = mm(c.pale.width), mm(c.gap)
    local far_y = board_front + c.rail.thickness
    for i, bay in ipairs(bays) do
      local from = posts[i].right
      local clear = mm(posts[i + 1].left - posts[i].right)
      if c.infill == "in front of posts" then
        refuse("infill", "hit-and-miss boards stand on both faces of the rails", "choose infill = \"between posts\"")
      end
      local n = math.max(2, math.ceil((clear + g) / (w + g) - 1e-9))
      local gap = named("gap", (clear - n * w) / (n - 1))
      if mm(gap) < 0 then
        n = n - 1
        gap = named("gap", (clear - n * w) / (n - 1))
      end
      for k = 0, n - 1 do
        board(from + (gap + c.pale.width) * k, board_front - c.pale.thickness, c.pale, bay, named("overlap", 0))
      end
      for k = 0, n - 2 do
        board(from + (gap + c.pale.width) * k + (c.pale.width + gap) / 2, far_y, c.pale, bay, named("overlap", 0))
      end
    end
  end
end

return pattern
