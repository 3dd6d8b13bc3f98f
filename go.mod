module voidcheck

go 1.26
