module hardfeed

go 1.26
