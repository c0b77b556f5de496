SELECT loop, tool, count(*) AS rounds,
       avg(CAST(wear_mm AS DOUBLE)) AS wear_mm,
       avg(CAST(spread_after_mm AS DOUBLE)) AS spread_after_mm,
       avg(CAST(evening_share AS DOUBLE)) AS evening_share,
       avg(CAST(minutes AS DOUBLE)) AS minutes
FROM read_csv('rounds.csv', all_varchar = true)
WHERE how = 'signed'
GROUP BY GROUPING SETS ((loop, tool), (tool))
ORDER BY loop NULLS LAST, tool;
