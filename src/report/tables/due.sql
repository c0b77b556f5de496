SET VARIABLE month = '2026-12';
SELECT loop, name, owner, left(next, 10) AS due
FROM read_csv('loops.csv', all_varchar = true)
WHERE left(next, 7) = getvariable('month')
ORDER BY next, loop;
