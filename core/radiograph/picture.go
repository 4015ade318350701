package radiograph

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
)

// pictureHeader reads size and depth of a JPEG or PNG picture, and refuses
// what is too large before anything is decoded.
func pictureHeader(b []byte, kind Kind) (Header, error) {
	h := Header{Kind: kind, Frames: 1, Samples: 1, BitsAllocated: 8, BitsStored: 8, HighBit: 7, Photometric: "MONOCHROME2", Orientation: 1}
	config := jpeg.DecodeConfig
	if kind == PNG {
		config = png.DecodeConfig
	}
	c, err := config(bytes.NewReader(b))
	if err != nil {
		return h, pictureError(err, kind)
	}
	h.Columns, h.Rows = c.Width, c.Height
	size := 1 // bytes a pixel while it is read
	switch c.ColorModel {
	case color.GrayModel:
	case color.Gray16Model:
		size, h.BitsAllocated, h.BitsStored, h.HighBit = 2, 16, 16, 15
	case color.RGBA64Model, color.NRGBA64Model:
		size, h.BitsAllocated, h.BitsStored, h.HighBit = 8, 16, 16, 15
		h.warn(ColourAsGrey, "")
	default:
		size = 4
		h.warn(ColourAsGrey, "")
	}
	if err := pictureLimits(&h, b, size); err != nil {
		return h, err
	}
	if kind == JPEG {
		yes := true
		h.Lossy = &yes
		h.orient(b)
	}
	return h, nil
}

// pictureLimits refuses a picture without pixels, with too many, or with more
// than its bytes can hold.
func pictureLimits(h *Header, b []byte, size int) error {
	n := int64(h.Columns) * int64(h.Rows)
	switch {
	case h.Columns <= 0:
		return &InvalidError{Fault: BadValue, What: "the width", Got: int64(h.Columns)}
	case h.Rows <= 0:
		return &InvalidError{Fault: BadValue, What: "the height", Got: int64(h.Rows)}
	case n > MaxPicture:
		return &LimitError{What: "picture", Got: n, Max: MaxPicture}
	case n*int64(size) > maxUnpacked:
		return &LimitError{What: "unpacked", Got: n * int64(size), Max: maxUnpacked}
	case n > 1100*8*int64(len(b)): // deflate packs 1032 to 1, a PNG pixel is at least a bit
		return &InvalidError{Fault: CutPixels}
	}
	return nil
}

// pictureError turns an error of the standard decoders into one of ours.
func pictureError(err error, kind Kind) error {
	var unJ jpeg.UnsupportedError
	var unP png.UnsupportedError
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF),
		errors.Is(err, jpeg.FormatError("short Huffman data")), errors.Is(err, png.FormatError("not enough pixel data")):
		return &InvalidError{Fault: CutPixels}
	case errors.As(err, &unJ):
		return &UnsupportedError{What: "jpeg", Name: "JPEG with " + string(unJ)}
	case errors.As(err, &unP):
		return &UnsupportedError{What: "picture", Name: "PNG with " + string(unP)}
	}
	return &InvalidError{Fault: BadCode, What: fmt.Sprintf("%s: %.80s", kind, err)}
}

func openPicture(b []byte, kind Kind, o Options) (*Image, error) {
	h, err := pictureHeader(b, kind)
	if err != nil {
		return nil, err
	}
	decode := jpeg.Decode
	if kind == PNG {
		decode = png.Decode
	}
	o.Progress(0.1)
	m, err := decode(bytes.NewReader(b))
	if err != nil {
		return nil, pictureError(err, kind)
	}
	o.Progress(0.7)
	r := m.Bounds()
	im := &Image{Header: h, Width: r.Dx(), Height: r.Dy(), Pix: make([]uint16, r.Dx()*r.Dy())}
	for y := range im.Height {
		if !greyRow(im.Pix[y*im.Width:][:im.Width], m, r.Min.X, r.Min.Y+y, h.BitsStored) {
			return nil, &UnsupportedError{What: "picture", Name: fmt.Sprintf("a %s of a rare kind", kind)}
		}
	}
	im.turn(h.Orientation)
	o.Progress(1)
	return im, nil
}

// greyRow fills one row with grey: the samples themselves of a grey picture,
// the brightness a JPEG holds, or the brightness of a colour, on white where
// it is transparent.
func greyRow(row []uint16, m image.Image, x0, y, bits int) bool {
	switch m := m.(type) {
	case *image.Gray:
		for i, v := range m.Pix[m.PixOffset(x0, y):][:len(row)] {
			row[i] = uint16(v)
		}
	case *image.Gray16:
		p := m.Pix[m.PixOffset(x0, y):][:2*len(row)]
		for i := range row {
			row[i] = uint16(p[2*i])<<8 | uint16(p[2*i+1])
		}
	case *image.YCbCr:
		for i, v := range m.Y[m.YOffset(x0, y):][:len(row)] {
			row[i] = uint16(v)
		}
	case *image.RGBA, *image.NRGBA, *image.RGBA64, *image.NRGBA64, *image.Paletted, *image.CMYK:
		down := uint(16 - bits)
		for i := range row {
			r, g, b, a := m.At(x0+i, y).RGBA()
			paper := 0xFFFF - a
			row[i] = luma((r+paper)>>down, (g+paper)>>down, (b+paper)>>down)
		}
	default:
		return false
	}
	return true
}
