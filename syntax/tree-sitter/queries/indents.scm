; A line below one of these lies one level deeper.
[
  (model)
  (board)
  (wiring)
  (link)
  (shelf)
  (packages)
  (devices)
  (minutes)
  (job)
  (found)
  (plan)
  (steps)
  (targets)
  (log)
  (group)
  (day)
] @indent.begin
