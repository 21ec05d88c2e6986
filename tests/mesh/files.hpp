#pragma once

#include <boost/crc.hpp>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

#include "solids.hpp"
#include "text/number.hpp"

/// Writes triangles in the formats that are read, as their specifications have it.
namespace durograde::mesh_test {

template <typename Number>
void add_bytes(std::string& bytes, Number number) {
    char raw[sizeof number];
    std::memcpy(raw, &number, sizeof number);
    bytes.append(raw, sizeof number);
}

inline std::string numbers_of(const Point& point) {
    std::string text;
    for (const double value : point) {
        if (!text.empty()) text += ' ';
        append_trimmed(text, value, 6);
    }
    return text;
}

inline std::string stl_binary(const Soup& soup) {
    std::string bytes(80, ' ');
    add_bytes(bytes, static_cast<std::uint32_t>(soup.size() / 3));
    for (std::size_t i = 0; i < soup.size(); i += 3) {
        for (int normal = 0; normal < 3; ++normal) add_bytes(bytes, 0.0F);
        for (std::size_t corner = 0; corner < 3; ++corner) {
            for (const double value : soup[i + corner]) add_bytes(bytes, static_cast<float>(value));
        }
        add_bytes(bytes, std::uint16_t{0});
    }
    return bytes;
}

inline std::string stl_text(const Soup& soup) {
    std::string text = "solid tongue\n";
    for (std::size_t i = 0; i < soup.size(); i += 3) {
        text += "facet normal 0 0 0\nouter loop\n";
        for (std::size_t corner = 0; corner < 3; ++corner)
            text += "vertex " + numbers_of(soup[i + corner]) + "\n";
        text += "endloop\nendfacet\n";
    }
    return text + "endsolid tongue\n";
}

inline std::string obj(const Soup& soup) {
    std::string text = "mtllib none.mtl\no tongue\nusemtl grey\n", faces;
    for (std::size_t i = 0; i < soup.size(); ++i) {
        text += "v " + numbers_of(soup[i]) + "\n";
        if (i % 3 == 0)
            faces += "f " + std::to_string(i + 1) + " " + std::to_string(i + 2) + " " +
                     std::to_string(i + 3) + "\n";
    }
    return text + faces;
}

inline std::string ply(const Soup& soup) {
    std::string text = "ply\nformat ascii 1.0\nelement vertex " + std::to_string(soup.size()) +
                       "\nproperty float x\nproperty float y\nproperty float z\nelement face " +
                       std::to_string(soup.size() / 3) +
                       "\nproperty list uchar int vertex_indices\nend_header\n";
    for (const Point& point : soup) text += numbers_of(point) + "\n";
    for (std::size_t i = 0; i < soup.size(); i += 3)
        text += "3 " + std::to_string(i) + " " + std::to_string(i + 1) + " " +
                std::to_string(i + 2) + "\n";
    return text;
}

/// One file of a zip archive, stored as it is (PKWARE APPNOTE 6.3, 4.3.7 and 4.3.12).
class Zip {
  public:
    void add(std::string_view name, std::string_view content) {
        boost::crc_32_type crc;
        crc.process_bytes(content.data(), content.size());
        std::string entry;
        add_bytes(entry, std::uint16_t{20});  // version
        for (int i = 0; i < 4; ++i)
            add_bytes(entry, std::uint16_t{0});  // flags, method, time, date
        add_bytes(entry, static_cast<std::uint32_t>(crc.checksum()));
        add_bytes(entry, static_cast<std::uint32_t>(content.size()));
        add_bytes(entry, static_cast<std::uint32_t>(content.size()));
        add_bytes(entry, static_cast<std::uint16_t>(name.size()));
        add_bytes(entry, std::uint16_t{0});  // extra field
        const auto at = static_cast<std::uint32_t>(bytes_.size());
        ((bytes_ += "PK\x03\x04") += entry) += name;
        bytes_ += content;
        directory_ += "PK\x01\x02";
        add_bytes(directory_, std::uint16_t{20});
        directory_ += entry;
        directory_.append(10, '\0');  // comment, disk, attributes
        add_bytes(directory_, at);
        directory_ += name;
        ++count_;
    }
    [[nodiscard]] std::string finish() const {
        std::string end = "PK\x05\x06" + std::string(4, '\0');
        add_bytes(end, count_);
        add_bytes(end, count_);
        add_bytes(end, static_cast<std::uint32_t>(directory_.size()));
        add_bytes(end, static_cast<std::uint32_t>(bytes_.size()));
        add_bytes(end, std::uint16_t{0});
        return bytes_ + directory_ + end;
    }

  private:
    std::string bytes_, directory_;
    std::uint16_t count_ = 0;
};

/// 3MF Core Specification 1.3: a package with one object and one build item.
inline std::string three_mf(const Soup& soup) {
    std::string model =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"millimeter\" "
        "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n<resources>"
        "<object id=\"1\" type=\"model\"><mesh><vertices>\n";
    for (const Point& point : soup) {
        const char* const names[] = {"x", "y", "z"};
        model += "<vertex";
        for (std::size_t axis = 0; axis < 3; ++axis) {
            model += std::string(" ") + names[axis] + "=\"";
            append_trimmed(model, point[axis], 6);
            model += "\"";
        }
        model += "/>\n";
    }
    model += "</vertices><triangles>\n";
    for (std::size_t i = 0; i < soup.size(); i += 3)
        model += "<triangle v1=\"" + std::to_string(i) + "\" v2=\"" + std::to_string(i + 1) +
                 "\" v3=\"" + std::to_string(i + 2) + "\"/>\n";
    model +=
        "</triangles></mesh></object></resources><build><item objectid=\"1\"/></build></model>";
    Zip zip;
    zip.add("[Content_Types].xml",
            "<?xml version=\"1.0\"?><Types "
            "xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\"><Default "
            "Extension=\"rels\" "
            "ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/><Default "
            "Extension=\"model\" "
            "ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/></Types>");
    zip.add("_rels/.rels",
            "<?xml version=\"1.0\"?><Relationships "
            "xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship "
            "Target=\"/3D/3dmodel.model\" Id=\"rel0\" "
            "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/>"
            "</Relationships>");
    zip.add("3D/3dmodel.model", model);
    return zip.finish();
}

}  // namespace durograde::mesh_test
