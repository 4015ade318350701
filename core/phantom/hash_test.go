package phantom

const hashAP, hashLateral = 0xa71b496fbe88dec1, 0x1822af38c081f571
