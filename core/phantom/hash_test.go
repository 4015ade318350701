package phantom

const hashAP, hashLateral = 0x5c75130b4311f7df, 0x9951850ef8719fce
