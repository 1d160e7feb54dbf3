autocmd BufRead,BufNewFile *.retin setfiletype retin
