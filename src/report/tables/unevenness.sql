SELECT sharpener, count(*) AS rounds,
       sum(CAST(removed_evening_mm AS DOUBLE)) AS evening_mm,
       sum(CAST(removed_evening_mm AS DOUBLE))
         / nullif(sum(CAST(removed_mm AS DOUBLE)), 0) AS share
FROM read_csv('rounds.csv', all_varchar = true)
WHERE how = 'signed'
GROUP BY sharpener
ORDER BY evening_mm DESC NULLS LAST, sharpener;
