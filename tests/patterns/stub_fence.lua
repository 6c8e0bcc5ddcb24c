-- SPDX-License-Identifier: Apache-2.0
-- One bay of fence for the tests: two posts, rails between them, boards before the rails. Either post may be another
-- structure's: everything is placed from where the posts are, never from where they were asked for.
--
--   x  from the left post's right face to the right post's left face
--   y  from the posts' front faces to the back
local pattern = {
  name = "stub_fence",
  title = "One bay of fence",
  help = "Two posts, rails, boards before them.",
  choices = {
    { name = "bay", unit = "length", least = 300, most = 3000, default = 1200, help = "clear between the posts" },
    { name = "height", unit = "length", least = 400, most = 2000, default = 1200, help = "of the posts" },
    { name = "in_ground", unit = "length", least = 200, most = 1500, default = 600, help = "of the posts" },
    { name = "hole", unit = "length", least = 150, most = 900, default = 300, help = "width of the holes" },
    { name = "rails", unit = "count", least = 1, most = 4, default = 2, help = "how many rails" },
    { name = "boards", unit = "count", least = 0, most = 40, default = 5, help = "how many boards" },
    { name = "post", unit = "section", role = "post", help = "posts" },
    { name = "rail", unit = "section", role = "rail", help = "rails" },
    { name = "board", unit = "section", role = "batten", help = "boards" },
  },
}

function pattern.build(c)
  local function post(where, x)
    local piece = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "back",
      length = c.height + c.in_ground, at = { x = x, y = 0, z = -1 * c.in_ground } }
    post_in_ground(piece, { diameter = c.hole, depth = c.in_ground + 100, gravel = 100 })
    return piece
  end
  local left = post("left", -1 * c.post.thickness)
  local right = post("right", c.bay)
  local middle = (most(left.front, right.front) + least(left.back, right.back)) / 2
  local rails = {}
  for i, z in pairs(spread { count = c.rails, from = 150, to = c.height - 100, width = c.rail.width }) do
    local piece = butt { name = "rail", where = "number " .. i, role = "rail", section = c.rail,
      between = { left, right }, runs = "right", wide = "up", at = { y = middle - c.rail.thickness / 2, z = z } }
    fix { through = { left, piece }, count = 2, least = 4.5 }
    fix { through = { right, piece }, count = 2, least = 4.5 }
    table.insert(rails, piece)
  end
  if c.boards == 0 then return end
  local clear = 20
  for i, x in pairs(spread { count = c.boards, from = left.right + clear, to = right.left - clear, width = c.board.width }) do
    local piece = place { name = "board", where = "number " .. i, role = "board", duty = "screen", carries = false,
      section = c.board, runs = "up", wide = "right", length = c.height - 100,
      at = { x = x, y = rails[1].front - c.board.thickness, z = 80 } }
    for _, rail in pairs(rails) do
      meet(piece, rail)
      fix { through = { piece, rail }, count = 1, least = 4 }
    end
  end
end

return pattern
