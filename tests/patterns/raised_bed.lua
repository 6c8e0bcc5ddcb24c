-- SPDX-License-Identifier: Apache-2.0
-- A raised bed for the tests: courses of boards on the outer faces of four corner stakes, which hold back the soil.
--
--   x  along the long sides, 0 at the left end of the bed
--   y  from the outer face of the front boards to the back
local pattern = {
  name = "raised_bed",
  title = "Raised bed",
  help = "Courses of boards on four corner stakes.",
  choices = {
    { name = "length", unit = "length", least = 600, most = 4000, default = 1800, help = "over the boards" },
    { name = "width", unit = "length", least = 500, most = 2000, default = 1000, help = "over the boards" },
    { name = "courses", unit = "count", least = 1, most = 5, default = 2, help = "boards above each other" },
    { name = "in_ground", unit = "length", least = 200, most = 900, default = 400, help = "of the stakes" },
    { name = "stake", unit = "section", role = "post", help = "corner stakes" },
    { name = "board", unit = "section", role = "beam", help = "boards" },
  },
}

function pattern.build(c)
  local high, t = c.courses * c.board.width, c.board.thickness
  local function stake(where, x, y)
    local piece = place { name = "stake", where = where, role = "post", section = c.stake, runs = "up", wide = "back",
      length = high + c.in_ground, at = { x = x, y = y, z = -1 * c.in_ground } }
    post_in_ground(piece, { diameter = 250, depth = c.in_ground, fill = "postmix" })
    return piece
  end
  local left_front = stake("left front", t, t)
  local right_front = stake("right front", c.length - t - c.stake.thickness, t)
  local left_back = stake("left back", t, c.width - t - c.stake.width)
  local right_back = stake("right back", c.length - t - c.stake.thickness, c.width - t - c.stake.width)

  local below = {}
  local function lies_on(where, piece)
    if below[where] then rest(piece, { below[where] }, "both are fixed to the stakes") end
    below[where] = piece
  end
  for course = 1, c.courses do
    local z = (course - 1) * c.board.width
    local function long_board(where, y, stakes)
      local piece = place { name = "long board", where = where .. " course " .. course, role = "board", duty = "soil",
        section = c.board, runs = "right", wide = "up", length = c.length, at = { x = 0, y = y, z = z } }
      for _, post in pairs(stakes) do
        meet(piece, post)
        fix { through = { piece, post }, count = 2, least = 4.5 }
      end
      lies_on(where, piece)
      return piece
    end
    local front = long_board("front", 0, { left_front, right_front })
    local back = long_board("back", c.width - t, { left_back, right_back })
    local function short_board(where, x, stakes)
      local piece = butt { name = "short board", where = where .. " course " .. course, role = "board", duty = "soil",
        section = c.board, between = { front, back }, runs = "back", wide = "up", at = { x = x, z = z } }
      for _, post in pairs(stakes) do
        meet(piece, post)
        fix { through = { piece, post }, count = 2, least = 4.5 }
      end
      rest(piece, { front, back }, "fixed to the stakes beside it")
      lies_on(where, piece)
    end
    short_board("left", 0, { left_front, left_back })
    short_board("right", c.length - t, { right_front, right_back })
  end
end

return pattern
