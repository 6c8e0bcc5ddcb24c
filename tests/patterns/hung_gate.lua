-- SPDX-License-Identifier: Apache-2.0
-- A gate for the tests: two posts, and between them a ledged leaf that swings.
--
--   x  from the hanging post's face
--   y  from the front face of the boards to the back
local pattern = {
  name = "hung_gate",
  title = "Gate between two posts",
  help = "A ledged leaf on two hinges.",
  choices = {
    { name = "width", unit = "length", least = 400, most = 1200, default = 900, help = "of the leaf" },
    { name = "height", unit = "length", least = 600, most = 1800, default = 1000, help = "of the leaf" },
    { name = "foot", unit = "length", least = 20, most = 200, default = 50, help = "of the leaf above the ground" },
    { name = "opens", unit = "option", options = { "front", "back" }, default = "front", help = "which way it opens" },
    { name = "by", unit = "number", least = 30, most = 170, default = 90, help = "degrees that it opens" },
    { name = "post", unit = "section", role = "post", help = "posts" },
    { name = "board", unit = "section", role = "batten", help = "boards" },
    { name = "ledge", unit = "section", default = "4x1.5", help = "ledges" },
  },
}

function pattern.build(c)
  local gap, back = 6, c.board.thickness + c.ledge.thickness
  local function post(where, x)
    local piece = place { name = "post", where = where, role = "post", section = c.post, runs = "up", wide = "back",
      length = c.foot + c.height + 700, at = { x = x, y = 0, z = -600 } }
    post_in_ground(piece, { diameter = 300, depth = 600 })
    return piece
  end
  local hanging = post("left", -1 * c.post.thickness)
  local shutting = post("right", c.width + 2 * gap)
  local leaf, boards = {}, {}
  local count = math.floor((mm(c.width) + 5) / (mm(c.board.width) + 5))
  for i, x in pairs(spread { count = count, from = gap, to = gap + c.width, width = c.board.width }) do
    local piece = place { name = "board", where = "number " .. i, role = "board", group = "leaf", duty = "screen",
      section = c.board, runs = "up", wide = "right", length = c.height, at = { x = x, y = 0, z = c.foot } }
    table.insert(boards, piece)
    table.insert(leaf, piece)
  end
  local levels = { c.foot + 150, c.foot + c.height - 150 - c.ledge.width }
  for i, z in pairs(levels) do
    local ledge = place { name = "ledge", where = i == 1 and "lower" or "upper", role = "rail", group = "leaf",
      section = c.ledge, runs = "right", wide = "up", length = c.width, at = { x = gap, y = c.board.thickness, z = z } }
    for _, b in pairs(boards) do
      meet(b, ledge)
      fix { through = { b, ledge }, kind = { "screw", "nail" }, count = 2 }
    end
    table.insert(leaf, ledge)
  end
  assembly("leaf", { flat = true })
  swing(leaf, { name = "gate", on = hanging, opens = c.opens, by = c.by, latch_on = shutting,
    hinges = { levels[1] + c.ledge.width / 2, levels[2] + c.ledge.width / 2 } })
end

return pattern
